import type { QueuedJob } from '../../platform/queue/work-queue.js';

/**
 * Returns the job that solves a fleet's next plan. A fleet has at most one such job in the queue,
 * however many plans it asked for, so the queue goes from fleet to fleet.
 */
export function planJob(fleetId: string): QueuedJob<'planning'> {
  return { name: 'solve-visit-plan', id: `plans_${fleetId}`, data: { fleetId } };
}
