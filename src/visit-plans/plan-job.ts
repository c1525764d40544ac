import type { QueuedJob } from '../platform/queue/work-queue.js';

/** The job that answers a round of a plan; the same round is not queued twice at a time. */
export function planJob(fleetId: string, planId: string, round: number): QueuedJob<'planning'> {
  return { name: 'solve-visit-plan', id: `plan_${planId}_${round}`, data: { fleetId, planId, round } };
}
