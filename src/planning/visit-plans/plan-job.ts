import type { QueuedJob } from '../../platform/queue/work-queue.js';

/**
 * A fleet's turn at having a plan solved. A fleet has one such job in the queue at a time,
 * however many plans it asked for, so that the queue goes from fleet to fleet.
 */
export function planJob(fleetId: string): QueuedJob<'planning'> {
  return { name: 'solve-visit-plan', id: `plans_${fleetId}`, data: { fleetId } };
}
