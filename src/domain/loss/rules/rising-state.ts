import type { KnownLevel } from '../balance/known-level.js';
import type { LossEvidence } from '../facts/types.js';
import type { UsagePoint } from '../facts/usage-span.js';
import type { RisingLimits } from './rising-limits.js';
import type { BlockLevel, Departure, UsualLine } from './usual-line.js';

/**
 * A known level on two axes: usage since the first one (1,000 km, or its worth in engine hours) and
 * everything lost since then.
 */
export interface LevelReading {
  thousandKm: number;
  lostL: number;
}

/** What one closed block says. */
export interface LossBlock {
  at: string;
  thousandKm: number;
  /** Loss per 1,000 km over the block, in L. */
  lossPer1000Km: number;
  /** How far the block's level is off the vehicle's own line. */
  departure: Departure;
  cusum: number;
  limits: RisingLimits;
  /**
   * Whether this block raised the sum. Only then is it evidence, however high the sum still is.
   */
  rose: boolean;
}

export interface RisingState {
  /** The last fill or opening of the circuit: settling comes first, and only then levels count. */
  filled: UsagePoint | null;
  previous: { level: KnownLevel; reading: LevelReading } | null;
  blockStart: BlockLevel | null;
  /**
   * The line that levels are compared with; null until the first block closes after a start, a fill
   * or a clearing.
   */
  line: UsualLine | null;
  /**
   * What is known of the vehicle's own usual rate where there is no line; null: what its cohort
   * loses.
   */
  rate: { mean: number; variance: number } | null;
  kmInBlock: number;
  hoursInBlock: number;
  inBlock: readonly LevelReading[];
  cusum: number;
  /** Levels since the CUSUM last stood at zero. */
  excursion: readonly LossEvidence[];
  /** The block that the last fact closed, if it closed one. */
  closed: LossBlock | null;
}

/** Where nothing is known of the level. */
export const NO_LEVELS = {
  previous: null,
  blockStart: null,
  line: null,
  kmInBlock: 0,
  hoursInBlock: 0,
  inBlock: [],
  closed: null,
};

/** Where nothing is left of what was found before. */
export const AS_NEW = { rate: null, cusum: 0, excursion: [] };
