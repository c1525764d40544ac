import type { Evaluation } from '../evaluation/evaluation.js';
import type { SightingSpan } from '../faults/spans.js';
import type { HotDay } from '../follow-ups/hot-days.js';
import type { Duty, IntervalRule, Postponement, VehicleStatus, WorkLine } from '../intervals/types.js';
import type { LevelUncertainty, LossCohort } from '../loss/facts/types.js';
import type { Message } from '../message.js';
import type { Reading } from '../readings/kinds.js';
import type { CircuitName, InCircuit, VehicleCircuits } from '../vehicles/circuits.js';
import type { ReadingContext } from '../readings/contract/reading-context.js';
import type { Checkpoint, DailyRate, UsageReading } from '../usage/types.js';
import type { UsageMemory } from '../usage/usage-memory.js';
import type { StoredLine } from './stored-line.js';

/**
 * Everything recorded about one vehicle that conclusions are drawn from, as far as it was loaded.
 */
export interface VehicleHistory {
  vehicleId: string;
  unitNumber: string;
  depotId: string | null;
  status: VehicleStatus;
  inUseMonths: number[] | null;
  inServiceOn: string | null;
  inServiceOdometerKm: number | null;
  inServiceEngineHours: number | null;
  expectedDailyKm: number | null;
  expectedDailyHours: number | null;
  /** By its own word, else by its depot's. */
  designLowTemperatureC: number | null;
  circuits: VehicleCircuits;
  /** Of the first circuit. */
  sheet: (CircuitSheet & { id: string }) | null;
  /** Of the other circuits, by name; loaded with the sheet. */
  otherSheets?: readonly (CircuitSheet & { circuit: CircuitName })[];
  /** What vehicles of the sheet usually lose from the first circuit, as it was last stored. */
  cohort: LossCohort | null;
  /** The fleet's own values of the trade's defaults, as far as the loss watch uses them. */
  levelUncertainty: LevelUncertainty;
  assignments: AssignmentFact[];
  summary: UsageConclusion;
  /** Whether the summary is stored, or a placeholder. */
  hasSummary: boolean;
  usage: LoadedUsage;
  /** Loaded together with the readings. */
  jobs: JobRecord[];
  /**
   * Null: not loaded. The change cannot affect follow-ups and alerts, and the due lines have the
   * date of the last work.
   */
  readings: ReadingRecord[] | null;
  /** Earlier readings judged again by other limits, in time order; loaded with the readings. */
  reEvaluations: ReEvaluationRecord[];
  /** What the vehicle reported of faults that mean something; loaded with the readings. */
  faults: FaultRecord[];
  /** The days on which its coolant temperatures show that it overheated; loaded likewise. */
  hotDays: HotDayRecord[];
  postponements: PostponementRecord[];
  alertActions: AlertActionRecord[];
  /** The present due lines and alerts. */
  lines: StoredLine[];
  alerts: StoredAlert[];
  /** Whether unchanged lines may be news: the audience changed, or the day did. */
  isToldAnew?: boolean;
  /** Whether other targets may hear of the vehicle than before: of its alerts and readings, too. */
  isMoved?: boolean;
}

/** What the loss watch needs to know of a circuit. */
export interface CircuitSheet {
  base: string;
  technology: string | null;
  capacityL: number;
  capRatingKpa: number | null;
  minToMaxL: number | null;
}

export interface AssignmentFact {
  effectiveOn: string;
  duty: Duty;
  planId: string | null;
  status: VehicleStatus;
}

export type Plans = ReadonlyMap<string, readonly IntervalRule[]>;

export interface StoredUsage extends UsageReading {
  status: string;
  reason: string | null;
  detail: Message | null;
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
  /** Whether the caller that added it still has to store it, with its judgement. */
  isNew?: boolean;
}

export interface LoadedUsage {
  /** In time order. */
  readings: StoredUsage[];
  /** Where judging is taken up; null: from the beginning. */
  start: Checkpoint | null;
  /**
   * The checkpoint in place of the readings before the start; null: enough readings were loaded.
   */
  memory: UsageMemory | null;
  /** Whether all of the vehicle's readings were loaded. */
  isComplete: boolean;
  /** Whether the readings must be judged again. */
  isChanged: boolean;
}

export interface CounterConclusion {
  /** Epoch milliseconds of the last believed value. */
  at: number | null;
  lifetime: number | null;
  /** Lifetime less what the counter shows. */
  offset: number | null;
  rate: DailyRate | null;
}

export interface UsageConclusion {
  distance: CounterConclusion;
  engineHours: CounterConclusion;
  /** Null: not loaded, or to be left as they are stored. */
  checkpoints: Checkpoint[] | null;
  /** Null where readings were never concluded from. */
  memory: UsageMemory | null;
}

/** Usage at the time of a fact. */
export interface Position {
  odometerLifetimeKm: number | null;
  engineHoursLifetime: number | null;
}

export interface JobRecord extends Position {
  id: string;
  at: number;
  isBaseline: boolean;
  /** The vehicle was released for service with it, without limits. */
  isReleased: boolean;
  lines: (WorkLine & { failed: boolean; lot: string | null; partNumber: string | null })[];
}

export interface ReadingRecord extends Position, InCircuit {
  id: string;
  jobId: string | null;
  /** Its position among the readings of its job; null for one outside a job. */
  position: number | null;
  kind: Reading['kind'];
  at: number;
  canonical: Reading;
  evaluation: Evaluation;
  /** What it was judged by. */
  limits: ReadingContext;
  /** Whether the caller that added it still has to store it. */
  isNew?: boolean;
}

/** A reading judged again by newer limits; the first verdict stays. */
export interface ReEvaluationRecord extends Position {
  id: string;
  readingId: string;
  /** When it was judged again. */
  at: number;
  evaluation: Evaluation;
  limits: ReadingContext;
}

/** A fault code as it was seen, active or gone, and the vehicle's usage when it was first seen. */
export interface FaultRecord extends SightingSpan, Position {
  /** When it was first seen. */
  at: number;
}

/** A day on which the vehicle overheated, and its usage when it began to. */
export interface HotDayRecord extends HotDay, Position {}

/** Where a manager put off one cycle of a line. */
export interface PostponementRecord extends Postponement {
  dueLineId: string;
  cycle: string;
}

export interface AlertActionRecord {
  id: string;
  at: number;
  alertKey: string;
  action: 'acknowledge' | 'shelve' | 'clear';
  until: string | null;
  note: string | null;
  by: string | null;
}

/** The present state of an alert: the fields that can change. */
export interface StoredAlert {
  id: string;
  key: string;
  isStanding: boolean;
  status: string;
  /** An instant as PostgreSQL writes it in JSON. */
  shelvedUntil: string | null;
  returned: boolean;
  evidence: unknown;
  computed: unknown;
}
