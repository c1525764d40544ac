import type { QueuedJob } from '../../../platform/queue/work-queue.js';
import type { Queued } from '../news/untold-lines.queries.js';

/** Returns the job that makes one attempt to send a reminder when its time has come. */
export function deliveryJob(
  fleetId: string,
  reminderId: string,
  attempt: number,
  notBefore: Date,
  now: Date,
): QueuedJob<'deliveries'> {
  return {
    name: 'deliver-reminder',
    id: `reminder_${reminderId}_${attempt}`,
    data: { fleetId, reminderId },
    delayMs: Math.max(0, notBefore.getTime() - now.getTime()),
  };
}

/** Returns the jobs for the first attempts at newly recorded reminders. */
export function firstDeliveries(
  fleetId: string,
  recorded: readonly Queued[],
  now: Date,
): QueuedJob<'deliveries'>[] {
  return recorded.map(({ id, nextAttemptAt }) => deliveryJob(fleetId, id, 1, nextAttemptAt, now));
}
