import type { ComputedValue } from '../../evaluation/evaluation.js';
import type { KnownLevel } from '../balance/known-level.js';
import type { LossSettings } from '../facts/settings.js';
import type { CoolantFact, LossCohort, LossEvidence } from '../facts/types.js';
import type { UsagePoint } from '../facts/usage-span.js';

/** One fact as the rules see it: placed in time, with what the coolant balance makes of it. */
export interface Moment {
  fact: CoolantFact;
  point: UsagePoint;
  /** The level known after this fact, if it makes one known. */
  level: KnownLevel | null;
  /** What may have been lost at least since the last known level, in L; null where none is known. */
  lostAtLeastL: number | null;
  /** Where that level was read. */
  lostSince: UsagePoint | null;
  /** How much of a top-up is settling after a fill, in L. */
  settlingL: number;
}

/** What does not change while one vehicle's history is read. */
export interface WatchContext {
  capacityL: number;
  isCapacityKnown: boolean;
  /** From MIN to MAX on the reservoir, in L; null where unknown. */
  minToMaxL: number | null;
  /** Standard uncertainty of one level reading, in L. */
  levelNoiseL: number;
  cohort: LossCohort;
  isCohortKnown: boolean;
  settings: LossSettings;
}

/** What a rule found at a fact: enough to raise an alert or to join an open one. */
export interface Finding {
  evidence: LossEvidence[];
  computed: Record<string, ComputedValue>;
  basis: string[];
}

/** A rule reads the facts in time order, carrying its state from one to the next. */
export interface Rule<State> {
  start: State;
  step(state: State, moment: Moment, context: WatchContext): { state: State; finding: Finding | null };
  /** The state after an alert of this kind was cleared at a point: what was evidence before must not raise it again. */
  restart(state: State, clearedMs: number): State;
}
