import type { JobRecord } from '../../domain/conclusions/vehicle-history.js';
import type { HeldPart, JobOutcome } from '../../entities/job-report.entity.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import type { JudgedReading, ReadReading, Sorted } from './judge-readings.js';

/** One occasion on which something was done or measured: a job, or a reading by itself. */
export interface Occasion {
  vehicleId: string;
  at: Date;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  elevationM: number | null;
  readings: Sorted<ReadReading>;
  /** Keeps what can be kept and sets the rest aside, instead of refusing the whole. */
  isLenient: boolean;
  job: OccasionJob | null;
  /** Parts that were set aside before. */
  held: HeldPart[];
}

export interface OccasionJob {
  id: string;
  lines: (JobRecord['lines'][number] & { position: number; finding: string | null })[];
  /** The rest of the report's row, by column. */
  columns: Record<string, unknown>;
}

export interface Recorded {
  readings: (JudgedReading & { id: string })[];
  outcome: JobOutcome;
  /**
   * The failed safety readings with which the vehicle was released, as far as they are not settled.
   */
  openFindings: ReadonlySet<string>;
  isReleasedWithFindings: boolean;
  /** The vehicle's. */
  depotId: string | null;
  /** How the counters that came with it were judged; null where none did. */
  usage: JudgedUsageReading | null;
  /** The job that this one may tell of once more. */
  possibleDuplicateOfId: string | null;
  receivedAt: Date;
}
