import type { CivilDate, Duty } from '../intervals/types.js';

/** Use in km or in engine hours, the same throughout. Null: not known. */
export type Use = number | null;

/** A part that was replaced in a job. */
export interface PartReplaced {
  jobId: string;
  /** Epoch milliseconds. */
  at: number;
  use: Use;
  item: string | null;
  /** The part that came out had failed. */
  failed: boolean;
  /** Done before records began, and known from them only as the beginning of what followed. */
  isBaseline: boolean;
}

/** What is known from one vehicle about the lives of one component. */
export interface VehicleParts {
  inServiceOn: CivilDate | null;
  inServiceUse: Use;
  /** Use at the last believed reading. */
  lastUse: Use;
  /**
   * The first believed reading on record, where records began after the vehicle was in service;
   * null: they did not.
   */
  watchedFrom: { at: number; use: Use } | null;
  hasBaseline: boolean;
  /** Names of the parts of this kind, if the vehicle's spec sheet lists several. */
  items: readonly string[];
  /** Ascending. */
  assignments: readonly { effectiveOn: CivilDate; duty: Duty; specSheetId: string | null }[];
  replacements: readonly PartReplaced[];
}

/** Which lives are wanted. */
export interface WantedLives {
  item: string | null;
  duty: Duty | null;
  specSheetId: string | null;
  /** Work before this day is not on record; null: nothing is known to be missing. */
  recordsFrom: CivilDate | null;
  /** Today, the end of observation for parts that are still running. */
  today: CivilDate;
  timeZone: string;
}
