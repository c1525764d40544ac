import type { Missed } from './daily-routines.js';

/** So many wait in the queue at most to be made up for. */
export const MADE_UP_AT_A_TIME = 200;

export const madeUpJobId = ({ routine, fleetId, day }: Missed): string => `${routine.name}_${fleetId}_${day}`;

/**
 * Chooses what is made up for next, so that an outage over the morning does not put every fleet
 * into the queue at once.
 */
export class MadeUp {
  /** In which look each of those that are missed was last queued. */
  private queuedAt = new Map<string, number>();
  private look = 0;

  /**
   * What was not queued before goes first, then what was queued longest ago: one that fails
   * whenever it is tried does not keep back the rest. Of these mornings go before nights, and the
   * oldest before the others.
   *
   * @param waiting how many wait in the queue already
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
    // What is missed no longer is forgotten.
    this.queuedAt = new Map(missed.map((one) => [madeUpJobId(one), queuedAt(one)]));
    for (const one of chosen) this.queuedAt.set(madeUpJobId(one), this.look);
    return chosen;
  }
}
