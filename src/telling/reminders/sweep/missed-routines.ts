import type { Missed } from './daily-routines.js';

/** Maximum number of made-up routines waiting in the queue. */
export const MADE_UP_AT_A_TIME = 200;

export const madeUpJobId = ({ routine, fleetId, day }: Missed): string => `${routine.name}_${fleetId}_${day}`;

/**
 * Chooses which missed routines to make up for next, so an outage over the morning does not put
 * every fleet into the queue at once.
 */
export class MadeUp {
  /** The number of the check in which each missed routine was last queued. */
  private queuedAt = new Map<string, number>();
  private look = 0;

  /**
   * Takes routines that were never queued first, then those queued longest ago: a routine that
   * fails every time does not hold up the others. Ties go to mornings before nights, then to the
   * oldest.
   *
   * @param waiting how many are already in the queue
   */
  next(missed: readonly Missed[], waiting: number): Missed[] {
    this.look++;
    const known = this.queuedAt;
    const queuedAt = (one: Missed): number => known.get(madeUpJobId(one)) ?? 0;
    const inOrder = missed.toSorted(
      (a, b) =>
        queuedAt(a) - queuedAt(b) ||
        a.routine.priority - b.routine.priority ||
        a.at - b.at ||
        (a.fleetId < b.fleetId ? -1 : 1),
    );
    const chosen = inOrder.slice(0, Math.max(0, MADE_UP_AT_A_TIME - waiting));
    // Forget the routines that are no longer missed.
    this.queuedAt = new Map(missed.map((one) => [madeUpJobId(one), queuedAt(one)]));
    for (const one of chosen) this.queuedAt.set(madeUpJobId(one), this.look);
    return chosen;
  }
}
