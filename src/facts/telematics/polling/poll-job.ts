import type { QueuedJob } from '../../../platform/queue/work-queue.js';

/** A source whose time has come. */
export interface DueSource {
  fleetId: string;
  sourceId: string;
  /** Its place among the due sources of its fleet, from 1. */
  turn: number;
}

/**
 * Returns the job that polls a source. The first of every fleet come before the second of any, so
 * that a fleet with many sources does not hold up the others.
 */
export function pollJob({ fleetId, sourceId, turn }: DueSource): QueuedJob<'sources'> {
  return { name: 'poll-source', id: `source_${sourceId}`, data: { fleetId, sourceId }, priority: turn };
}
