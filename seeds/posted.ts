import type { PostedReport } from './jobs.js';

export type PostedUsage = Record<string, unknown> & { unitNumber: string; readAt: string };

/** A reading outside a job, and the vehicle it is about. */
export interface PostedReading {
  unitNumber: string;
  body: Record<string, unknown> & { takenAt: string };
}

/** Two years of records written by the district's people. */
export interface History {
  usage: PostedUsage[];
  reports: PostedReport[];
  readings: PostedReading[];
}
