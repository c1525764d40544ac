import { ImpossibleValue } from '../impossible-value.js';
import { message } from './messages.js';

/** Distance between the ribs of a PK belt, mm (ISO 9981). */
export const PK_RIB_PITCH_MM = 3.56;

/** What a belt's designation says. */
export interface BeltDesignation {
  text: string;
  /** 'PK', or null for a profile that is kept as text. */
  profile: 'PK' | null;
  ribs: number | null;
  effectiveLengthMm: number | null;
  widthMm: number | null;
}

/**
 * Reads a V-ribbed belt's designation: ribs, profile PK, effective length in mm; the ribs are 3.56
 * mm apart.
 *
 * Source: ISO 9981 and ISO 9982 (designation and rib pitch of automotive V-ribbed belts).
 *
 * @param text as printed on the belt; other profiles are kept as text and never refused
 * @throws ImpossibleValue for a PK designation with ribs or a length that no such belt has.
 * @example parseBeltDesignation('6PK1880') // { ribs: 6, effectiveLengthMm: 1880, widthMm: 21.36, … }
 */
export function parseBeltDesignation(text: string): BeltDesignation {
  const written = text.trim();
  const match = /^(\d{1,3})\s*PK\s*(\d{1,6}(?:\.\d+)?)$/i.exec(written);
  if (match === null)
    return { text: written, profile: null, ribs: null, effectiveLengthMm: null, widthMm: null };
  const ribs = Number(match[1]);
  const effectiveLengthMm = Number(match[2]);
  if (ribs < 2 || ribs > 24) {
    throw new ImpossibleValue({
      field: 'designation',
      value: written,
      limit: { min: 2, max: 24 },
      detail: message('belt-designation-ribs', { designation: written, ribs }),
    });
  }
  if (effectiveLengthMm < 300 || effectiveLengthMm > 9000) {
    throw new ImpossibleValue({
      field: 'designation',
      value: written,
      limit: { min: { value: 300, unit: 'mm' }, max: { value: 9000, unit: 'mm' } },
      detail: message('belt-designation-length', { designation: written, length: effectiveLengthMm }),
    });
  }
  return { text: written, profile: 'PK', ribs, effectiveLengthMm, widthMm: ribs * PK_RIB_PITCH_MM };
}
