import type { PostedReport } from './jobs.js';

export type PostedUsage = Record<string, unknown> & { unitNumber: string; readAt: string };

/** A reading outside a job as it is posted, and of which vehicle. */
export interface PostedReading {
  unitNumber: string;
  body: Record<string, unknown> & { takenAt: string };
}

/** Two years of what the district's people wrote down. */
export interface History {
  usage: PostedUsage[];
  reports: PostedReport[];
  readings: PostedReading[];
}
