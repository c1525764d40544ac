import type { Evaluation, Verdict } from '../evaluation.js';
import type { ReadingKind } from '../readings.js';
import type { Action, FollowUpUrgency } from './types.js';

/** A one-off due line that a reading calls for. */
export interface CalledFor {
  component: 'coolant' | 'drive-belt';
  action: 'test' | 'adjust' | 'recheck' | 'replace';
  urgency: FollowUpUrgency;
  /** Which kind of reading settles it. */
  settledBy: ReadingKind | null;
  cause: string;
}

type Line = Pick<CalledFor, 'component' | 'action' | 'settledBy'>;

const RETEST: Line = { component: 'coolant', action: 'test', settledBy: 'hold-test' };
const ADJUST_STRENGTH: Line = { component: 'coolant', action: 'adjust', settledBy: 'freeze-point' };
const RECHECK_LEVEL: Line = { component: 'coolant', action: 'recheck', settledBy: 'level-check' };
const ADJUST_BELT: Line = { component: 'drive-belt', action: 'adjust', settledBy: 'belt-check' };
const REPLACE_COOLANT: Line = { component: 'coolant', action: 'replace', settledBy: null };

/** What a verdict calls for, by kind. A torque set calls for none: it is put right before the vehicle leaves. */
export const FOLLOW_UP_OF: Readonly<Record<ReadingKind, Readonly<Record<Verdict, Line | null>>>> = {
  'hold-test': { fail: RETEST, inconclusive: RETEST, pass: null },
  'freeze-point': { fail: ADJUST_STRENGTH, inconclusive: ADJUST_STRENGTH, pass: null },
  'torque-set': { fail: null, inconclusive: null, pass: null },
  fill: { fail: RECHECK_LEVEL, inconclusive: null, pass: null },
  'warm-up-check': { fail: RECHECK_LEVEL, inconclusive: null, pass: null },
  'belt-check': { fail: ADJUST_BELT, inconclusive: null, pass: null },
  'level-check': { fail: RECHECK_LEVEL, inconclusive: null, pass: null },
  'top-up': { fail: null, inconclusive: null, pass: null },
  'coolant-condition': { fail: null, inconclusive: null, pass: null },
  'cap-test': { fail: null, inconclusive: null, pass: null },
  'combustion-gas-test': { fail: null, inconclusive: null, pass: null },
  'road-test': { fail: null, inconclusive: null, pass: null },
};

/**
 * Everything that an evaluated reading calls for, the only place that says so: what its verdict does, and what was poured in does. Another base: the coolant is to be replaced,
 * and nothing else. Too much of another technology: the coolant is to be tested; no coolant's life is recorded that could be shortened, so the line stands for it. Water alone: its strength is
 * to be tested at once. All common practice, no published source.
 *
 * @example followUpsOfReading('hold-test', { verdict: 'fail', computed: {} }) // [{ component: 'coolant', action: 'test', urgency: 'at-once', … }]
 */
export function followUpsOfReading(
  kind: ReadingKind,
  { verdict, computed }: Pick<Evaluation, 'verdict' | 'computed'>,
): CalledFor[] {
  if (computed.otherBase === true)
    return [{ ...REPLACE_COOLANT, urgency: 'at-once', cause: 'coolant of another base was poured in' }];
  const calledFor: CalledFor[] = [];
  const line = verdict === null ? null : FOLLOW_UP_OF[kind][verdict];
  if (line !== null) {
    const urgency = verdict === 'inconclusive' ? 'soon' : line.action === 'recheck' ? 'recheck' : 'at-once';
    calledFor.push({
      ...line,
      urgency,
      cause: verdict === 'inconclusive' ? `${kind} was inconclusive` : `${kind} failed`,
    });
  }
  if (computed.strengthCheckDue === true)
    calledFor.push({
      ...RETEST,
      settledBy: 'freeze-point',
      urgency: 'at-once',
      cause: 'water was poured in: the strength is to be tested',
    });
  if (computed.shortensCoolantLife === true)
    calledFor.push({
      ...RETEST,
      settledBy: 'coolant-condition',
      urgency: 'soon',
      cause: 'coolant of another technology was poured in: its condition is to be tested',
    });
  return calledFor;
}

/**
 * Whether a reading settles what was called for. A strength check is done with any freeze point, for a failed one calls for more by itself; the condition with one that did not
 * fail, where a sheet without limits gives no verdict; a level check with the engine not known to be warm; all else by passing.
 */
export function settles(
  reading: { kind: ReadingKind; verdict: Verdict | null; engineCold?: boolean | null },
  followUp: { action: Action },
  settledBy: ReadingKind | null,
): boolean {
  if (reading.kind !== settledBy) return false;
  if (followUp.action === 'recheck') return reading.engineCold !== false;
  if (settledBy === 'freeze-point' && followUp.action === 'test') return true;
  if (settledBy === 'coolant-condition') return reading.verdict === 'pass' || reading.verdict === null;
  return reading.verdict === 'pass';
}
