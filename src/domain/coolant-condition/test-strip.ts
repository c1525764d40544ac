import type { CoolantTechnology } from '../coolant/coolant.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { message } from './messages.js';

/** What a test strip is made to read. */
export type StripKind = 'sca' | 'nitrite' | 'organic-acid' | 'ph' | 'freeze-point';

export const STRIP_KINDS: readonly StripKind[] = ['sca', 'nitrite', 'organic-acid', 'ph', 'freeze-point'];

/** A kind of strip as the languages choose by it. */
export const STRIP_WORDS = {
  sca: 'sca',
  nitrite: 'nitrite',
  'organic-acid': 'organic',
  ph: 'ph',
  'freeze-point': 'freezing',
} as const satisfies Record<StripKind, string>;

/** The strip that a reading was taken with. */
export interface TestStrip {
  kind: StripKind;
  /** The last day on which it may be used, as the pack says; a civil date. */
  expiresOn?: string | null;
  product?: string | null;
}

/** What speaks against believing a strip. */
export interface StripDoubt {
  finding: 'strip-expired' | 'wrong-strip';
  doubt: Message;
  /** What must not be judged by it: everything it read, or its inhibitors alone. */
  spoils: 'everything' | 'inhibitors';
}

/** These hold no nitrite by design. */
const NITRITE_FREE: readonly CoolantTechnology[] = ['OAT', 'HOAT', 'P-OAT', 'Si-OAT'];

/**
 * Why a strip cannot be believed: it had expired, or is made for another kind of coolant.
 *
 * Source: common practice; reagents fade, mostly towards too low a value.
 *
 * @param takenOn the day of the reading, a civil date; null when unknown
 * @returns null where the strip may be believed
 * @example doubtOfStrip({ kind: 'sca', expiresOn: '2026-03-31' }, 'IAT', '2026-04-01')?.finding // 'strip-expired'
 */
export function doubtOfStrip(
  { kind, expiresOn }: TestStrip,
  technology: CoolantTechnology | null,
  takenOn: string | null,
): StripDoubt | null {
  if (expiresOn != null && takenOn !== null && expiresOn < takenOn)
    return {
      finding: 'strip-expired',
      doubt: message('test-strip-expired', { expiredOn: expiresOn }),
      spoils: 'everything',
    };
  if (technology === null) return null;
  if (kind === 'sca' && NITRITE_FREE.includes(technology))
    return {
      finding: 'wrong-strip',
      doubt: message('test-strip-for-conventional', { technology }),
      spoils: 'inhibitors',
    };
  if (kind === 'organic-acid' && technology === 'IAT')
    return {
      finding: 'wrong-strip',
      doubt: message('test-strip-for-organic-acid'),
      spoils: 'inhibitors',
    };
  return null;
}

/**
 * A freeze point as far as its test strip is valid: an expired strip decides nothing.
 *
 * @param takenOn the day of the reading, a civil date; null when unknown
 * @throws ImpossibleValue for a strip beside another instrument.
 */
export function freezePointByStrip(
  evaluation: Evaluation,
  { strip, method }: { strip?: TestStrip | null; method: string },
  takenOn: string | null,
): Evaluation {
  if (!strip) return evaluation;
  if (method !== 'test-strip')
    throw new ImpossibleValue({
      field: 'strip',
      value: strip.kind,
      detail: message('test-strip-beside-other-method', { method }),
    });
  const doubt = doubtOfStrip(strip, null, takenOn);
  if (doubt === null) return evaluation;
  return {
    ...evaluation,
    verdict: 'inconclusive',
    reasons: [doubt.doubt],
    computed: { ...evaluation.computed, findings: [doubt.finding] },
  };
}
