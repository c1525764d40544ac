import type { Message } from '../../message.js';
import type { LevelWord } from '../../checks/level-marks.js';
import type { CommonPractice } from '../../evaluation/common-practice.js';
import type { ComputedValue, Verdict } from '../../evaluation/evaluation.js';
import type { Action, Component } from '../../intervals/types.js';
import type { CircuitName, InCircuit } from '../../vehicles/circuits.js';
import type { FreezePointMethod } from '../../strength/freeze-point-value.js';

/** What a loss alert is about. The first four speak of coolant, the last two of parts. */
export const LOSS_ALERT_KINDS = [
  'repeat-top-ups',
  'rising-loss',
  'unrecorded-water',
  'weakening-hold',
  'early-return',
  'part-cohort',
] as const;
export type LossAlertKind = (typeof LOSS_ALERT_KINDS)[number];

/**
 * The kinds that a repair can clear, together with proof that it held. The others are cleared by a
 * manager only.
 */
export const CLEARED_BY_PROOF: readonly LossAlertKind[] = [
  'repeat-top-ups',
  'rising-loss',
  'unrecorded-water',
  'weakening-hold',
];

/**
 * States of an alarm after IEC 62682 and RFC 8632: acknowledging and shelving silence, only
 * clearing ends.
 */
export type LossAlertStatus = 'raised' | 'acknowledged' | 'shelved' | 'cleared';

/**
 * What every fact carries. `at` is an instant in RFC 3339 form, with `Z` or an offset;
 * `odometerKm` and `engineHours` are lifetime values (a replaced counter already bridged), null
 * where unknown or held.
 */
interface Fact {
  id: string;
  at: string;
  odometerKm: number | null;
  engineHours: number | null;
}

export interface TopUpFact extends Fact {
  kind: 'top-up';
  addedL: number;
  /** Strength of what was poured in, volume %; 0 is water, null is not known. */
  strengthPercent: number | null;
  /** Filled up to the mark, engine cold: the level is known afterwards. */
  toMark: boolean;
  planned: boolean;
}

export interface LevelCheckFact extends Fact {
  kind: 'level-check';
  /**
   * How much is missing to the mark, in L; negative when above it; null where only `level` is
   * known.
   */
  belowMarkL: number | null;
  /** The level at the marks of the reservoir; null or absent if only litres are known. */
  level?: LevelWord | null;
  /** A level read on a warm engine says nothing about loss and is passed over. */
  engineCold: boolean;
}

export interface FreezePointFact extends Fact {
  kind: 'freeze-point';
  /**
   * Null where the reading could not be turned into a strength (beyond the table's end, a scale for
   * another base).
   */
  strengthVolumePercent: number | null;
  /** Expanded uncertainty (k = 2) of the strength, in volume %. */
  uncertaintyPercent: number;
  method: FreezePointMethod;
  verdict: Verdict | null;
  /**
   * False when the sample is known not to be mixed with the rest (taken from a reservoir without
   * flow), true when it is known to be (a warm-up with the thermostat open came with it); else
   * how far the vehicle has run since the last addition decides.
   */
  mixed?: boolean;
}

export interface HoldTestFact extends Fact {
  kind: 'hold-test';
  method: 'vacuum' | 'pressure';
  verdict: Verdict | null;
  /** Loss per minute, temperature corrected, in kPa/min; null where it could not be computed. */
  ratePerMinuteKpa: number | null;
  allowedRateKpa: number;
  /** Expanded uncertainty (k = 2) of the rate, in kPa/min. */
  expandedUncertaintyRate: number;
  /** Warm, or not known to be cold: its rate is no evidence unless it failed. */
  temperatureInDoubt?: boolean;
  /** A pressure test that was pumped up to the cap's rating. */
  atCapRating: boolean;
}

export interface FillFact extends Fact {
  kind: 'fill';
  addedL: number;
  strengthPercent: number | null;
  jobId: string | null;
}

/** The vehicle reported that its coolant is low, or its pressure. */
export interface ReportedLowFact extends Fact {
  kind: 'reported-low';
  what: 'level' | 'pressure';
  /** The fault code, as it is shown. */
  code: string;
}

export interface JobLine {
  component: Component;
  action: Action;
  /** Which one of several, by its name on the spec sheet. */
  item: string | null;
  failed: boolean;
  lot: string | null;
  partNumber: string | null;
  /** Done before the window of its due line had opened; null where no due line said when. */
  beforeWindow: boolean | null;
}

export interface JobFact extends Fact {
  kind: 'job';
  lines: readonly JobLine[];
  /**
   * Work done before records began: it can be the first half of an early return, and starts nothing
   * by itself.
   */
  isBaseline: boolean;
}

/** What a person did with an alert. */
export interface AlertActionFact {
  kind: 'alert-action';
  /** Settles the order of two actions at one instant. */
  id: string;
  at: string;
  /**
   * The alert's key as it was when the person acted; still found when a late fact has given the
   * alert an earlier first evidence.
   */
  alertKey: string;
  action: 'acknowledge' | 'shelve' | 'clear';
  /** The instant at which shelving ends; required for `shelve`. */
  until: string | null;
  by: string;
  note: string | null;
}

export type CoolantFact =
  TopUpFact | LevelCheckFact | FreezePointFact | HoldTestFact | FillFact | ReportedLowFact | JobFact;
export type LossFact = CoolantFact | AlertActionFact;

export interface LossSheet {
  capacityL: number;
  base: string;
  technology: string | null;
  /** From MIN to MAX on the reservoir, in L; null or absent where unknown. */
  minToMaxL?: number | null;
}

/** What vehicles of one spec sheet lose when nothing is wrong, in L per 1,000 km. */
export interface LossCohort {
  mu0: number;
  sigma: number;
}

/**
 * Everything that the loss watch needs to know of one vehicle. Facts may be in any order, and later
 * than `asOf`.
 */
export interface VehicleFacts extends InCircuit {
  vehicleId: string;
  sheet: LossSheet | null;
  cohort: LossCohort | null;
  events: readonly LossFact[];
  /**
   * Spans in which the vehicle rested, `toAt` null while it still rests: they do not count as
   * running days.
   */
  laidUp?: readonly { fromAt: string; toAt: string | null }[];
  /** What the fleet changed of how well a cold level is known. */
  levelUncertainty?: LevelUncertainty;
}

/** Standard uncertainty of a cold level, in L and as a share of capacity: the larger counts. */
export type LevelUncertainty = Partial<
  Pick<CommonPractice, 'levelUncertaintyL' | 'levelUncertaintyShareOfCapacity'>
>;

export interface LossEvidence {
  factId: string;
  kind: CoolantFact['kind'];
  at: string;
  /** What the fact shows, with its numbers. */
  message: Message;
  /** The same numbers; quantities are measures in canonical units. */
  computed: Record<string, ComputedValue>;
}

/** One alert from raising to clearing. An alert that comes back is a new episode, `returned`. */
export interface LossAlertEpisode {
  /**
   * `kind:id of the first evidence`, with the circuit between them where it is not the first; for a
   * batch `part-cohort:component:part number:lot:id`.
   */
  key: string;
  kind: LossAlertKind;
  /** Missing: the vehicle's first; for a batch of parts, none. */
  circuit?: CircuitName;
  /** Null for a batch of parts, whose vehicles are `members`. */
  vehicleId: string | null;
  members: string[];
  status: LossAlertStatus;
  raisedAt: string;
  /** The instant at which shelving ends, while shelved. */
  shelvedUntil: string | null;
  clearedAt: string | null;
  clearedBy: 'proof' | 'manager' | null;
  /** Raised again within the return period after clearing. */
  returned: boolean;
  /** In time order; each fact once. */
  evidence: LossEvidence[];
  computed: Record<string, ComputedValue>;
  checkNext: Message[];
  cautions: Message[];
  basis: Message[];
}
