/**
 * What asks somebody for a decision about a vehicle, the worst first:
 *
 * - `released-with-findings`: it was released although a safety reading failed that nothing settled;
 * - `at-once`: a reading, a fault or a report found something unsafe;
 * - `defect`: somebody reported it, and nobody has decided whether the vehicle stays;
 * - `late`: work is past its grace;
 * - `loss-alert`: an alert that nobody acknowledged or shelved;
 * - `failed-report`: a job of the last days with a failed reading;
 * - `held-reading`: a counter value that nobody accepted or discarded;
 * - `visit`: it comes in today, or should have come before.
 *
 * Source: common practice, no published source. A vehicle on the road that was found unsafe comes
 * before one that merely may be, danger before cost, and cost before doubtful figures.
 */
export const DECISION_KINDS = [
  'released-with-findings',
  'at-once',
  'defect',
  'late',
  'loss-alert',
  'failed-report',
  'held-reading',
  'visit',
] as const;
export type DecisionKind = (typeof DECISION_KINDS)[number];

/** A failed report asks for a decision for so many days; common practice, no published source. */
export const FAILED_REPORT_DAYS = 7;

/** One matter to decide. */
export interface Decision {
  kind: DecisionKind;
  /** Since when, as an instant in UTC; a day counts from its midnight. */
  since: string;
  /** Of the line, alert, report, defect or reading. */
  id: string;
}

/** The place of a kind in the order: 0 is the worst. @example rankOf('at-once') // 1 */
export function rankOf(kind: DecisionKind): number {
  return DECISION_KINDS.indexOf(kind);
}

/**
 * Compares two matters: the worse kind first, then what has waited longer. The id decides between
 * equals, so that the order is always the same.
 *
 * Source: common practice, no published source.
 *
 * @returns below 0 where the first comes first
 * @example compareDecisions({ kind: 'late', since: '2026-03-01T00:00:00Z', id: 'a' }, { kind: 'visit', since: '2026-01-01T00:00:00Z', id: 'b' }) // below 0
 */
export function compareDecisions(one: Decision, other: Decision): number {
  const byRank = rankOf(one.kind) - rankOf(other.kind);
  if (byRank !== 0) return byRank;
  const byTime = Date.parse(one.since) - Date.parse(other.since);
  if (byTime !== 0) return byTime;
  return one.id < other.id ? -1 : Number(one.id > other.id);
}

/**
 * The matters of a vehicle in the order to decide them.
 *
 * @example worstFirst(matters)[0] // what places the vehicle in the list
 */
export function worstFirst<One extends Decision>(matters: readonly One[]): One[] {
  return [...matters].sort(compareDecisions);
}
