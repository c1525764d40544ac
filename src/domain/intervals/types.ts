import type { Message } from '../message.js';
import type { DailyRate, UsagePoint } from '../usage/types.js';
import type { InCircuit } from '../vehicles/circuits.js';

export const COMPONENTS = [
  'coolant',
  'water-pump',
  'drive-belt',
  'tensioner',
  'idler',
  'thermostat',
  'radiator',
  'radiator-cap',
  'upper-hose',
  'lower-hose',
  'heater-hose',
  'bypass-hose',
  'hose-clamp',
  'fan-drive',
  'fan-shroud',
  'reservoir',
  'heater-core',
  'coolant-filter',
  'oil-cooler',
  'egr-cooler',
  'head-gasket',
  'injector-sleeve',
  'timing-belt',
  'temperature-sensor',
  'electric-coolant-pump',
  'chiller',
  'coolant-heater',
  'coolant-valve',
  'degas-bottle',
  'fan-clutch',
  'other',
] as const;
export type Component = (typeof COMPONENTS)[number];

export const ACTIONS = ['inspect', 'test', 'adjust', 'clean', 'flush', 'replace', 'recheck'] as const;
export type Action = (typeof ACTIONS)[number];

export const DUTIES = ['normal', 'severe'] as const;
export type Duty = (typeof DUTIES)[number];
export type VehicleStatus = 'in-use' | 'laid-up' | 'disposed';
export type Trigger = 'distance' | 'time' | 'engine-hours';
export type DueState = 'not-due' | 'window' | 'due' | 'late' | 'no-baseline';
/** 'YYYY-MM-DD' */
export type CivilDate = string;

/** What is done to what: a line of a job report, an interval, a follow-up. */
export interface WorkLine extends InCircuit {
  component: Component;
  action: Action;
  item: string | null;
}

export interface Limits {
  everyKm?: number | null;
  everyMonths?: number | null;
  everyHours?: number | null;
}

/** A lead or a delay around a due point; what is missing takes the default (common practice). */
export interface Margin {
  km?: number | null;
  days?: number | null;
  hours?: number | null;
}

/** One interval of a plan. At least one limit is given, or `beforeSeason`. */
export interface IntervalRule extends WorkLine, Limits {
  first?: Limits | null;
  severe?: (Limits & { first?: Limits | null }) | null;
  window?: Margin | null;
  grace?: Margin | null;
  /**
   * Also due before each season of a seasonal vehicle; a vehicle in use all year has no season.
   */
  beforeSeason?: boolean;
  /** From a ready-made plan, and nobody has confirmed or replaced it; missing: no. */
  isStarter?: true;
  anchor: 'completion' | 'schedule';
}

/** An interval as it applies to one duty: all limits settled. */
export interface ResolvedRule extends WorkLine {
  every: { km: number | null; months: number | null; hours: number | null };
  /** Limits of the first time, where they differ. */
  first: { km: number | null; months: number | null; hours: number | null } | null;
  window: Margin;
  grace: Margin;
  beforeSeason: boolean;
  anchor: 'completion' | 'schedule';
}

/**
 * From `from` on the interval is this one (duty already resolved); null: the plan in force does not
 * have it.
 */
export interface RuleInForce {
  from: CivilDate;
  rule: ResolvedRule | null;
}

/** What an interval is counted from. */
export interface Baseline {
  kind: 'job' | 'in-service';
  on: CivilDate;
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
}

/** Up to where a manager put off one cycle of a line; whichever comes first. */
export interface Postponement {
  on: CivilDate;
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
}

/** One counter of a vehicle, as due points need it (lifetime km or h). */
export interface CounterOutlook {
  rate: DailyRate | null;
  last: UsagePoint | null;
  /** Epoch ms at which readings crossed the value; null when they have not. */
  crossedAt(value: number): number | null;
  /** Lifetime value at an instant by interpolation; null when unknown. */
  valueAt(at: number): number | null;
}

export interface DueLineInput {
  /** Effective-dated, ascending; the last with a rule decides what the line is. */
  rules: readonly RuleInForce[];
  /** The last job that resets the line, else the in-service date; null: nothing to count from. */
  baseline: Baseline | null;
  /**
   * Origin of the fixed grid for `anchor: 'schedule'` (in-service date and counters); null: the
   * baseline.
   */
  scheduleOrigin: Baseline | null;
  status: VehicleStatus;
  /**
   * The first day in use again after being laid up; null or missing: none. No usage is projected
   * before it.
   */
  inUseSince?: CivilDate | null;
  /** The months (1–12) a seasonal vehicle works in; null or missing: all year. */
  inUseMonths?: readonly number[] | null;
  /** Where this cycle was put off; null or missing: it was not. */
  postponement?: Postponement | null;
  distance: CounterOutlook | null;
  engineHours: CounterOutlook | null;
  timeZone: string;
}

/** The stored dates of a line, from which its state on any day is read. */
export interface DueDates {
  windowOpensOn: CivilDate | null;
  dueOn: CivilDate | null;
  /**
   * The first day past the grace: by the calendar, by a reading, or projected; whether it is in
   * force by then, `lateLapsesOn` says.
   */
  lateOn: CivilDate | null;
  /**
   * If lateness comes only from an estimate: the day on which that becomes stale and the line falls
   * back to `due`; otherwise null.
   */
  lateLapsesOn: CivilDate | null;
  /**
   * Where `lateLapsesOn` is set: the day on which it is late all the same by the calendar or a
   * reading; null: never.
   */
  lateForGoodOn: CivilDate | null;
}

export interface DuePoint extends DueDates {
  state: 'dated';
  /**
   * 90 % limits of `dueOn`, as computed; `earliestOn` is raised to today when read (see
   * readDueLine).
   */
  earliestOn: CivilDate | null;
  latestOn: CivilDate | null;
  trigger: Trigger | null;
  dueAt: { odometerLifetimeKm: number | null; engineHoursLifetime: number | null; on: CivilDate | null };
  /**
   * From this day on the projection is stale (60 days after the last reading); null: no usage limit
   * is projected.
   */
  staleOn: CivilDate | null;
  /**
   * A usage limit gives no date, because a reading, a rate or a counter at the baseline is missing.
   */
  needsReading: boolean;
  /** Formulas and defaults used. */
  basis: Message[];
}

export interface NoBaseline {
  state: 'no-baseline';
}

export interface FollowUpJob {
  id: string;
  at: number;
  lines: readonly WorkLine[];
  /** Imported work done before records began: opens and closes nothing. */
  isBaseline: boolean;
}

export type FollowUpUrgency = 'recheck' | 'at-once' | 'soon';

export interface FollowUpContext {
  status: VehicleStatus;
  /**
   * The first day in use again after being laid up, when that is later than the work; null: in use
   * throughout.
   */
  inUseSince: CivilDate | null;
  odometerLifetimeKmAtOpening: number | null;
  engineHoursLifetimeAtOpening: number | null;
  /** Where it was put off; null or missing: it was not. */
  postponement?: Postponement | null;
  distance: CounterOutlook | null;
  engineHours: CounterOutlook | null;
  timeZone: string;
}
