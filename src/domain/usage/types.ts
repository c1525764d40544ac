import type { Message } from '../message.js';

/** Where a usage reading comes from. Each may run at its own offset. */
export type UsageSource = 'dash' | 'telematics' | 'fuel-card' | 'job' | 'manual';

/** The two cumulative counters of a vehicle. */
export type Counter = 'odometer' | 'engine-hours';

/** What a manager decided about a reading; null when nobody has. */
export type ReadingDecision = 'accepted' | 'discarded' | 'voided';

/** One usage reading as it was posted. Values are what the counter showed, in km and h. */
export interface UsageReading {
  id: string;
  /** Epoch milliseconds. */
  at: number;
  odometerKm: number | null;
  engineHours: number | null;
  /** The value given is the first of a new counter. */
  odometerReplaced: boolean;
  engineHoursReplaced: boolean;
  source: UsageSource;
  decision: ReadingDecision | null;
  /**
   * Decided when it arrived (a phone's clock ahead of the server's); held until a manager decides.
   */
  heldAtArrival: 'in-the-future' | null;
}

export type ReadingStatus = 'accepted' | 'held' | 'discarded' | 'voided' | 'duplicate';

/**
 * Why a reading is held. `contradicted`: it was accepted, and two later readings fit the history
 * only without it.
 */
export type HeldReason = 'went-back' | 'too-fast' | 'unit-slip' | 'in-the-future' | 'contradicted';

/** The judgement of one reading. */
export interface JudgedUsageReading {
  id: string;
  status: ReadingStatus;
  reason: HeldReason | null;
  /** Of a held reading: why, and what to do. */
  detail: Message | null;
  /**
   * Lifetime values: present exactly where that counter of the reading is believed. The counters
   * are judged separately: a reading held for its engine hours alone still gives its odometer. Use
   * "lifetime is not null", not the status, to pick the values that count.
   */
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
}

/** The last believed reading of a source on one counter. */
export interface SourceLine {
  at: number;
  /** What the counter showed. */
  raw: number;
  /** Lifetime value it was given. */
  life: number;
  /**
   * When the source was first believed on this counter: the younger of two that disagree is the one
   * that is shifted.
   */
  since: number;
}

/** What a counter's history comes down to for judging the next reading. */
export interface CounterCore {
  /** The last believed reading. */
  head: { at: number; life: number; source: UsageSource } | null;
  /** Lifetime minus shown value on the counter now fitted. */
  base: number;
  /** Units a day between the last two believed readings at least a day apart; null until known. */
  pace: number | null;
  lines: Partial<Record<UsageSource, SourceLine>>;
  /**
   * Per source the reading that did not fit since its last believed one, with the lifetime expected
   * then: a second one that keeps its distance shows that the source runs at its own offset.
   */
  aside: Partial<Record<UsageSource, { at: number; raw: number; expected: number }>>;
}

export interface CounterState {
  core: CounterCore;
  /**
   * The state before the last believed reading; null where that one cannot be contradicted (a
   * manager's word, or none).
   */
  before: CounterCore | null;
  lastId: string | null;
  lastAt: number | null;
}

/** One counter of one reading: believed at this lifetime value, or held. */
export type CounterVerdict = { life: number } | { reason: HeldReason; detail: Message };

/**
 * A state from which a scan can continue: all that later judgements need of the readings up to and
 * including `at`. Plain JSON.
 */
export interface Checkpoint {
  at: number;
  odometer: CounterState;
  engineHours: CounterState;
  /** The readings up to here that a later one can still contradict, at most two. */
  heads: { id: string; odometer: CounterVerdict | null; engineHours: CounterVerdict | null }[];
}

export interface ScanOptions {
  /** Take up from here; `readings` are then exactly those later than `start.at`. */
  start?: Checkpoint | null;
}

export interface Timeline {
  /**
   * One judgement for each reading passed in, in time order; when taken up from a checkpoint,
   * before them those of `start.heads` (which a later reading can have contradicted).
   */
  readings: JudgedUsageReading[];
  /** Where a later scan may start, oldest first. To be stored through `mergeCheckpoints`. */
  checkpoints: Checkpoint[];
  /**
   * The earliest reading that a later one contradicts here; it may be earlier than the checkpoint
   * from which the scan continued. Conclusions from it no longer hold. Checkpoints do, because they
   * record what was pending. Null: none.
   */
  voidFrom: number | null;
}

/** The last believed value of a day. */
export interface UsageDay {
  /** Days since 1970-01-01 of the civil date in the fleet's zone. */
  epochDay: number;
  /** Epoch milliseconds. */
  at: number;
  /** Lifetime km or h. */
  value: number;
}

/** A believed value at an instant. */
export interface UsagePoint {
  /** Epoch milliseconds. */
  at: number;
  /** Lifetime km or h. */
  value: number;
}

export type RateMethod = 'theil-sen-90-days' | 'theil-sen-365-days' | 'weighed-weeks' | 'mean' | 'declared';

/** How much a vehicle is used a day (in km or h; for a seasonal vehicle per day in use). */
export interface DailyRate {
  perDay: number;
  /** 90 % limits of the rate itself (not of what is to come); never below 0. */
  low: number;
  high: number;
  method: RateMethod;
  /**
   * Standard deviation of daily usage, per √day; null for a declared rate and for two readings
   * (band ×/÷ 1.5, common practice).
   */
  sPerRootDay: number | null;
  /** Standard deviation of the rate itself; null where `sPerRootDay` is. */
  deviation: number | null;
  /** Length of the window used, in days (in use). 0 for a declared rate. */
  spanDays: number;
  /** Readings (days with one) used. */
  n: number;
  /** Only these months (1–12) count as days in use; null: all. */
  inUseMonths: readonly number[] | null;
}

/** When a counter reaches a limit, as dates in the fleet's zone. */
export interface Projection {
  on: string;
  earliestOn: string;
  latestOn: string;
}
