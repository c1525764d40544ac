import type { CommonPractice } from '../../evaluation/common-practice.js';
import type { WarmUpCheckReading } from '../../checks/warm-up-check.js';
import type { Poured } from '../../coolant/coolant.js';
import type { Evaluation } from '../../evaluation/evaluation.js';
import type { SheetValue } from '../../evaluation/starter-mark.js';
import type { FreezePointRead } from '../../filling/fill-strength.js';
import type {
  FillFact,
  FreezePointFact,
  HoldTestFact,
  LevelCheckFact,
  TopUpFact,
} from '../../loss/facts/types.js';
import type { HoldTestReading } from '../../pressure/hold-test-reading.js';
import type { ReadingContext } from './reading-context.js';
import type { SafetyWords } from './safety-words.js';

/** What the readings of one job say about each other. */
export interface SameJob {
  warmUp: WarmUpCheckReading | null;
  vacuumHold: HoldTestReading | null;
  evacuatedL: number | null;
  /** What its top-ups added. */
  toppedUpL: number;
  /** When, seen from the reading that is judged, the job read the freeze point. */
  freezePointRead: FreezePointRead;
}

/** The reading of a job that has no other. */
export const ALONE: SameJob = {
  warmUp: null,
  vacuumHold: null,
  evacuatedL: null,
  toppedUpL: 0,
  freezePointRead: null,
};

/**
 * What a reading is judged by: what is known of the vehicle, with every default filled in, and its
 * job.
 */
export interface Surroundings extends ReadingContext {
  practice: CommonPractice;
  job: SameJob;
}

/** The part of an evaluation that a finding needs. */
export type Judgement = Pick<Evaluation, 'verdict' | 'computed'>;

/** Which reading the loss watch hears of, when it was taken, and what the counters showed then. */
export type WhenAndWhere = Pick<TopUpFact, 'id' | 'at' | 'odometerKm' | 'engineHours'>;

/** A reading as it was recorded: what it was judged by, how, and what its job has done. */
export interface Recorded {
  evaluation: Evaluation;
  limits: ReadingContext;
  /** The same job warmed the engine up until the thermostat opened. */
  isMixed: boolean;
}

/**
 * What one kind of reading means. Every kind judges and lists its findings; the rest is for kinds
 * that give more.
 */
export interface KindOfReading<R extends { kind: string }, F extends string = string> {
  /** @throws ImpossibleValue for an impossible reading, worded so that it can be put right. */
  evaluate(reading: R, by: Surroundings): Evaluation;
  /** The values of the spec sheet that `evaluate` looks at. Belts and fasteners are not listed. */
  sheetValues: readonly SheetValue[];
  /** What it found that leaves something to be done; `follow-ups/follow-up-table.ts` says what. */
  findings(reading: R, judgement: Judgement): F[];
  /** What was poured in, which counts in all that is judged after it. */
  poured?(reading: R): Poured;
  /** The strength that it leaves or reads in the system, volume %; null if it gives none. */
  strengthPercent?(reading: R, computed: Evaluation['computed']): number | null;
  /** Its fact about the level for the loss watch, whatever its verdict. */
  levelFact?(reading: R, fact: WhenAndWhere, jobId: string | null): TopUpFact | LevelCheckFact | FillFact;
  /** Its fact for the loss watch that depends on how it was judged. */
  judgedFact?(reading: R, fact: WhenAndWhere, recorded: Recorded): FreezePointFact | HoldTestFact;
  /**
   * The wording, if its failure makes a vehicle unsafe to drive, whatever else was done.
   */
  unsafe?: SafetyWords;
}

/** A kind of reading whose failure makes a vehicle unsafe to drive. */
export interface SafetyKind<R extends { kind: string }, F extends string = string> extends KindOfReading<
  R,
  F
> {
  unsafe: SafetyWords;
}

/**
 * The finding of a kind with a single finding: that it failed. @example onFailure('cap-failed')
 */
export function onFailure<F extends string>(finding: F): (reading: unknown, judgement: Judgement) => F[] {
  return (_reading, { verdict }) => (verdict === 'fail' ? [finding] : []);
}
