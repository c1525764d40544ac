import { parseBeltDesignation } from '../../belt/designation.js';
import type { BeltTensionLimits } from '../../belt/belt-tension.js';
import type { Message } from '../../message.js';
import { ImpossibleValue } from '../../impossible-value.js';
import type { WorkLine } from '../../intervals/types.js';
import { measure, type Measure } from '../../quantities/measures.js';
import { message } from '../messages.js';
import { isAtBelt } from '../work/card-work.js';

/** A belt of a spec sheet; null where the sheet does not say which. */
export interface SheetBelt {
  name: string;
  designation: string | null;
  /** Where it is tensioned by hand. */
  tension?: BeltTensionLimits | null;
}

/** A belt by its designation; null if the designation does not give it, or cannot be read. */
export interface CardBelt {
  name: string;
  designation: string | null;
  ribs: number | null;
  effectiveLength: Measure | null;
  width: Measure | null;
  /** What its tension must be after this job; null where nothing is known or it sets itself. */
  tension: CardTension | null;
}

/** The tension to set; Hz, and null where a limit is not known. */
export interface CardTension {
  /** The limits for a belt that has not run in. */
  newBelt: boolean;
  frequencyMinHz: number | null;
  frequencyMaxHz: number | null;
  deflectionMin: Measure | null;
  deflectionMax: Measure | null;
  deflectionForce: Measure | null;
}

/**
 * The belts that the lines are about. A line that names no belt may mean any of them: a pump or a
 * pulley may sit on each.
 *
 * Source: ISO 9981 and ISO 9982 (`parseBeltDesignation`).
 *
 * @example beltsForJob([{ component: 'idler', action: 'replace', item: null }], [{ name: 'accessory', designation: '6PK1880' }]).belts[0]?.ribs // 6
 */
export function beltsForJob(
  lines: readonly WorkLine[],
  belts: readonly SheetBelt[],
): { belts: CardBelt[]; missing: Message[] } {
  const isBelt = (item: string | null): boolean => belts.some(({ name }) => name === item);
  const named = new Set(
    lines
      .filter(isAtBelt)
      .map(({ component, item }) => (component === 'drive-belt' || isBelt(item) ? item : null)),
  );
  const wanted = belts.filter(({ name }) => named.has(null) || named.has(name));
  const missing =
    wanted.length === 0 || wanted.some(({ designation }) => designation === null)
      ? [message('card-no-belt-designation')]
      : [];
  const isNew = ({ name }: SheetBelt): boolean => lines.some((line) => isRenewed(line, name));
  return {
    belts: wanted.map((belt) => ({ ...beltOnCard(belt, missing), tension: tensionOf(belt, isNew(belt)) })),
    missing,
  };
}

function isRenewed({ component, action, item }: WorkLine, belt: string): boolean {
  return component === 'drive-belt' && action === 'replace' && (item === null || item === belt);
}

function tensionOf({ tension }: SheetBelt, isNew: boolean): CardTension | null {
  if (!tension) return null;
  const newBelt = isNew ? (tension.newBelt ?? null) : null;
  const range = newBelt ?? tension.inService ?? null;
  if (range === null) return null;
  const size = (mm: number | null | undefined): Measure | null => (mm == null ? null : measure('size', mm));
  const { deflectionForceN } = tension;
  return {
    newBelt: isNew,
    frequencyMinHz: range.frequencyMinHz ?? null,
    frequencyMaxHz: range.frequencyMaxHz ?? null,
    deflectionMin: size(range.deflectionMinMm),
    deflectionMax: size(range.deflectionMaxMm),
    deflectionForce: deflectionForceN == null ? null : measure('force', deflectionForceN),
  };
}

function beltOnCard({ name, designation }: SheetBelt, missing: Message[]): Omit<CardBelt, 'tension'> {
  const unread = { name, designation, ribs: null, effectiveLength: null, width: null };
  if (designation === null) return unread;
  try {
    const { text, ribs, effectiveLengthMm, widthMm } = parseBeltDesignation(designation);
    return {
      name,
      designation: text,
      ribs,
      effectiveLength: effectiveLengthMm === null ? null : measure('size', effectiveLengthMm),
      width: widthMm === null ? null : measure('size', widthMm),
    };
  } catch (error) {
    if (!(error instanceof ImpossibleValue)) throw error;
    missing.push(message('card-belt-unreadable', { belt: name, why: error.detail }));
    return unread;
  }
}
