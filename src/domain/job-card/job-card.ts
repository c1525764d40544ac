import type { Message } from '../message.js';
import { eachOnce } from '../same-message.js';
import { atmosphereAt, type Atmosphere, type Whereabouts } from '../atmosphere/atmosphere.js';
import type { MeasuredCondition } from '../coolant-condition/inhibitor-limits.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Verdict } from '../evaluation/evaluation.js';
import { STARTER_VALUES } from '../evaluation/starter-mark.js';
import type { Opening } from '../intervals/circuit-opening.js';
import { circuitTerm } from '../intervals/terms.js';
import type { WorkLine } from '../intervals/types.js';
import type { CircuitName } from '../vehicles/circuits.js';
import type { HoldTestLimits } from '../pressure/hold-test-procedure.js';
import { MEASURES, type UnitSystem } from '../quantities/measures.js';
import { message } from './messages.js';
import { stepsOf } from './steps/order-of-steps.js';
import type { Step, StepName } from './steps/steps.js';
import {
  type AdditiveForJob,
  additiveForJob,
  type AdditiveSheet,
  type DosedForJob,
} from './to-bring/additive-for-job.js';
import { beltsForJob, type CardBelt, type SheetBelt } from './to-bring/belts-for-job.js';
import { type BoilOverForJob, boilOverOfSheet } from './to-bring/boil-over-for-job.js';
import {
  type CoolantForJob,
  coolantForJob,
  DEFAULT_TARGET_STRENGTH_PERCENT,
  type SheetCoolant,
} from './to-bring/coolant-for-job.js';
import { type CardFastener, fastenersForJob, type SheetFastener } from './to-bring/fasteners-for-job.js';
import { type HoldTestsForJob, holdTestsForJob } from './to-bring/hold-tests-for-job.js';
import { type CardPart, partsForJob } from './to-bring/parts-for-job.js';
import { withDose } from './to-bring/with-dose.js';
import { type CardWork, cautionsOfJob, workOf } from './work/card-work.js';

/** What a job card is drawn from, of a spec sheet. */
export interface CardSheet {
  coolant: SheetCoolant;
  capRatingKpa: number | null;
  holdTest: HoldTestLimits;
  /** The limit of conductivity at 25 °C, µS/cm; absent or null: none. */
  conductivityMaxUsPerCm?: number | null;
  /** Null if the sheet says nothing about it. */
  additive?: AdditiveSheet | null;
  fasteners: readonly SheetFastener[];
  belts: readonly SheetBelt[];
  parts: readonly CardPart[];
  /** Some of it is ready-made, and nobody has confirmed or replaced it; missing: no. */
  isStarter?: boolean;
}

/** What a job card is drawn from; null is not known. */
export interface JobCardInput extends Whereabouts {
  /** In one circuit. */
  lines: readonly WorkLine[];
  /** That circuit's name, where the vehicle has more than one. */
  circuit?: CircuitName | null;
  /** It cools parts of the high-voltage system. */
  isElectric?: boolean;
  sheet: CardSheet | null;
  /** Latest known strength in the system, volume %. */
  strengthPercent: number | null;
  /**
   * Latest reading of the coolant's inhibitors since it was replaced; absent or null where there is
   * none.
   */
  condition?: MeasuredCondition | null;
  /** Verdict of the latest freeze point; absent or null where there is none. */
  freezePointVerdict?: Verdict | null;
  /** There is a loss alert or a leak that a passed vacuum test would not settle. */
  losesCoolant: boolean;
  /** The machine counts engine hours only, so no distance is shown. */
  isHourOnly?: boolean;
  /** What the fleet changed of the trade's defaults. */
  practice?: Partial<CommonPractice> | null;
  /** The reader's units, which are the gauge's: targets are rounded to its divisions. */
  units: UnitSystem;
}

/**
 * What a spec sheet gives for a job. Empty or null if there is no sheet, or the work does not need
 * it.
 */
interface FromSheet extends HoldTestsForJob {
  parts: CardPart[];
  fasteners: CardFastener[];
  coolant: CoolantForJob | null;
  /** To pour in for what the latest reading lacked. */
  additive: AdditiveForJob | null;
  boilOver: BoilOverForJob | null;
  belts: CardBelt[];
  missing: Message[];
  basis: Message[];
}

/** What a mechanic takes along, as far as it can be worked out. */
export interface JobCardContent extends FromSheet {
  /** How much of the coolant comes out. */
  opens: Opening;
  steps: Step[];
  beltRouting: Message | null;
  cautions: Message[];
}

/**
 * What to take along for a job on one vehicle: parts, torques, coolant, hold test and steps for the
 * lines asked, and what is missing because there is no spec sheet, elevation or field of the sheet.
 * It is always made: it says what is not known, and refers to the vehicle maker's information.
 *
 * Source: see `coolantForJob`, `holdTestForJob`, `boilOverForJob`, `torqueLimits`, `stepsOf`.
 *
 * @param input the lines, the sheet in canonical units, m of elevation or kPa of barometer, and the
 * reader's units for what is read off a gauge
 * @throws ImpossibleValue for an elevation beyond the standard atmosphere.
 * @example jobCard({ lines: [], sheet: null, strengthPercent: null, losesCoolant: false, units: 'si' }).missing.length // 1
 */
export function jobCard(input: JobCardInput): JobCardContent {
  const { lines, sheet, units, isElectric = false } = input;
  const practice: CommonPractice = { ...COMMON_PRACTICE, ...input.practice };
  const dosed = dosedFor(input, practice);
  const work = withDose(workOf(lines), dosed, {
    strengthPercent: input.strengthPercent,
    targetStrengthPercent: sheet?.coolant.targetStrengthPercent ?? DEFAULT_TARGET_STRENGTH_PERCENT,
    freezePointVerdict: input.freezePointVerdict ?? null,
  });
  const atmosphere = atmosphereAt(input, MEASURES.vacuum[units]);
  const job: Job = { ...input, work, dosed, atmosphere, practice };
  const place = placeNotes(job);
  const content = sheet === null ? WITHOUT_SHEET : fromSheet(sheet, job);
  const { holdTest, proofTest, fasteners, coolant, additive } = content;
  return {
    opens: work.opens,
    steps: stepsOf(lines, {
      work,
      coolant,
      holdTest,
      ...{ proofTest, additive },
      atmosphereKpa: atmosphere.kpa,
      fasteners,
      belts: content.belts,
      isElectric,
      namesCircuit: input.circuit != null,
      conductivityMaxUsPerCm: sheet?.conductivityMaxUsPerCm ?? null,
      isHourOnly: input.isHourOnly ?? false,
      units,
      practice,
    }).map((step) => inCircuitOf(step, input)),
    parts: content.parts,
    fasteners,
    coolant,
    additive,
    holdTest,
    proofTest,
    boilOver: content.boilOver,
    belts: content.belts,
    beltRouting: work.belt ? message('card-belt-routing') : null,
    missing: [...place.missing, ...content.missing.map((what) => toldOf(what, input))],
    cautions: cautionsOfJob(
      work,
      [holdTest, proofTest].flatMap((test) => (test === null ? [] : [test.method])),
      isElectric,
    ),
    basis: eachOnce([...place.basis, ...content.basis]),
  };
}

/** Fasteners, belts and the road are in no circuit. */
const IN_NO_CIRCUIT: readonly StepName[] = ['torque', 'belt', 'road-test'];

function inCircuitOf({ isInNoCircuit = false, ...step }: Step, { circuit }: JobCardInput): Step {
  return circuit == null || isInNoCircuit || IN_NO_CIRCUIT.includes(step.step) ? step : { ...step, circuit };
}

function toldOf(what: Message, { circuit }: JobCardInput): Message {
  return circuit == null ? what : message('card-in-circuit', { circuit: circuitTerm(circuit), what });
}

/** Nothing is added to coolant beside high voltage. */
function dosedFor({ lines, sheet, condition, isElectric }: JobCardInput, practice: CommonPractice) {
  if (!sheet?.additive || isElectric) return null;
  return additiveForJob(lines, sheet.additive, condition ?? null, practice);
}

/** The lines asked for, the work they need, and where it is done. */
interface Job extends JobCardInput {
  work: CardWork;
  dosed: DosedForJob | null;
  atmosphere: Atmosphere;
  practice: CommonPractice;
}

const touchesCoolant = (work: CardWork): boolean =>
  work.opensCircuit || work.readsStrength || work.readsLevel || work.holdTest;

/** What is to be said of the vehicle's sheet and of the place before anything is worked out. */
function placeNotes({ sheet, work, atmosphere }: Job): Pick<FromSheet, 'missing' | 'basis'> {
  const starter = sheet?.isStarter === true ? [STARTER_VALUES] : [];
  const missing: Message[] = [...starter];
  if (sheet === null) missing.push(message('card-no-spec-sheet'));
  if (atmosphere.source === 'assumed' && touchesCoolant(work)) missing.push(message('card-no-elevation'));
  const air = touchesCoolant(work) || sheet !== null ? [atmosphere.basis] : [];
  return { missing, basis: [...starter, ...air] };
}

const WITHOUT_SHEET: FromSheet = {
  parts: [],
  fasteners: [],
  coolant: null,
  additive: null,
  holdTest: null,
  proofTest: null,
  boilOver: null,
  belts: [],
  missing: [],
  basis: [],
};

function fromSheet(sheet: CardSheet, job: Job): FromSheet {
  const { lines, work, dosed, practice, units } = job;
  const isWet = touchesCoolant(work);
  const isOnCap = lines.some(({ component }) => component === 'radiator-cap');
  const filled = isWet ? coolantForJob(sheet.coolant, work, job.strengthPercent, job.isElectric) : null;
  const tested = holdTestsForJob(work, sheet.holdTest, job.losesCoolant, job);
  const fastened = fastenersForJob(lines, work, sheet.fasteners, practice, units);
  const belted = work.belt ? beltsForJob(lines, sheet.belts) : null;
  const supplied = partsForJob(lines, sheet);
  const boiling = isWet || isOnCap ? boilOverOfSheet(coolantAtTarget(sheet), job.atmosphere) : null;
  return {
    parts: supplied.parts,
    fasteners: fastened.fasteners,
    coolant: filled?.coolant ?? null,
    additive: dosed?.additive ?? null,
    holdTest: tested.holdTest,
    proofTest: tested.proofTest,
    boilOver: boiling?.boilOver ?? null,
    belts: belted?.belts ?? [],
    missing: [filled, dosed, tested, fastened, belted, supplied, boiling].flatMap(
      (part) => part?.missing ?? [],
    ),
    basis: [filled, dosed, tested, fastened, boiling].flatMap((part) => part?.basis ?? []),
  };
}

function coolantAtTarget({ coolant, capRatingKpa }: CardSheet) {
  const strengthPercent = coolant.targetStrengthPercent ?? DEFAULT_TARGET_STRENGTH_PERCENT;
  return { base: coolant.base, strengthPercent, capRatingKpa };
}
