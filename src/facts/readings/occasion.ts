import type { JobRecord } from '../../domain/conclusions/vehicle-history.js';
import type { HeldPart, JobOutcome } from '../../entities/job-report.entity.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import type { JudgedReading, ReadReading, Sorted } from './judge-readings.js';

/** One occasion on which something was done or measured: a job, or a standalone reading. */
export interface Occasion {
  vehicleId: string;
  at: Date;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  elevationM: number | null;
  readings: Sorted<ReadReading>;
  /** Keeps the good parts and sets the others aside, instead of rejecting everything. */
  isLenient: boolean;
  job: OccasionJob | null;
  /** Parts that were set aside earlier. */
  held: HeldPart[];
}

export interface OccasionJob {
  id: string;
  lines: (JobRecord['lines'][number] & { position: number; finding: string | null })[];
  /** The defects that it says were repaired. */
  repairedDefects: string[];
  /** The remaining columns of the report's row. */
  columns: Record<string, unknown>;
}

export interface Recorded {
  readings: (JudgedReading & { id: string })[];
  outcome: JobOutcome;
  /** The failed safety readings with which the vehicle was released and that are not settled. */
  openFindings: ReadonlySet<string>;
  isReleasedWithFindings: boolean;
  /** The depot that the vehicle belongs to. */
  depotId: string | null;
  /** How the occasion's counters were judged. Null when it has none. */
  usage: JudgedUsageReading | null;
  /** The earlier job of which this one may be a duplicate. */
  possibleDuplicateOfId: string | null;
  receivedAt: Date;
}
