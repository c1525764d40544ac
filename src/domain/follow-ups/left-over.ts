import type { FollowUpUrgency } from '../intervals/types.js';
import { calledForBy, type Finding } from './follow-up-table.js';
import type { FollowUpCause, ReportedFault } from './settling.js';

const HOUR_MS = 3_600_000;

/**
 * How long after the work a code may still be read that nobody has cleared. A stored code proves
 * nothing in the bay: it is erased by hand, or by itself only after many trips without the fault.
 * What is dangerous is believed sooner, once the vehicle can be back on the road. Common practice,
 * no source.
 */
const LEFT_OVER_MS: Record<FollowUpUrgency, number> = {
  'at-once': 2 * HOUR_MS,
  recheck: 24 * HOUR_MS,
  soon: 24 * HOUR_MS,
};

/**
 * From when on a sighting shows that work did not settle a finding. Before that the code is left
 * over, unless it was read as gone meanwhile.
 *
 * @param at when the work was done, in epoch milliseconds
 * @example believedFrom('inspect-level', { …, comesAndGoes: false }, 0) // 7,200,000
 */
function believedFrom(finding: Finding, { comesAndGoes }: ReportedFault, at: number): number {
  return comesAndGoes ? at : at + LEFT_OVER_MS[calledForBy(finding).urgency];
}

/** Whether the fault of a cause was seen again after work that would settle the cause. */
export function isSeenAgain({ finding, fault }: FollowUpCause, at: number): boolean {
  return fault !== null && fault.lastAt >= believedFrom(finding, fault, at);
}

/**
 * A cause that would be settled if its fault had not been seen again. It opens anew from then on.
 *
 * @param by what would have settled it
 */
export function seenAgain(cause: FollowUpCause, by: string, at: number): FollowUpCause {
  const { finding, fault } = cause;
  if (fault === null || fault.lastAt === at) return cause;
  const openedAt = believedFrom(finding, fault, at);
  return { ...cause, openedAt, isRepaired: false, fault: { ...fault, seenAgainAfter: by } };
}

/** When the findings of each fault code were settled last, in epoch milliseconds. */
export class SettledFaults {
  private readonly at = new Map<string, number>();

  note({ finding, fault }: FollowUpCause, at: number): void {
    if (fault !== null) this.at.set(`${finding} ${fault.code}`, at);
  }

  /**
   * When a finding is open because its fault is seen active.
   *
   * @param seenAt when it was seen, in epoch milliseconds
   * @returns null where the code is left over from before the finding was settled
   */
  openedAt(finding: Finding, fault: ReportedFault, seenAt: number): number | null {
    const settledAt = this.at.get(`${finding} ${fault.code}`);
    if (settledAt === undefined || !fault.goesOn) return seenAt;
    const from = believedFrom(finding, fault, settledAt);
    return fault.lastAt < from ? null : Math.max(seenAt, from);
  }
}
