import { evaluateBeltCheck, type BeltCheckReading } from './belt/belt-check.js';
import { evaluateCapTest, type CapTestReading } from './checks/cap-test.js';
import { evaluateCombustionGasTest, type CombustionGasTestReading } from './checks/combustion-gas-test.js';
import { COMMON_PRACTICE, type CommonPractice } from './evaluation/common-practice.js';
import { evaluateLevelCheck, type LevelCheckReading } from './checks/level-check.js';
import { evaluateRoadTest, type RoadTestReading } from './checks/road-test.js';
import { evaluateTopUp, type TopUpReading } from './filling/top-up.js';
import { evaluateWarmUpCheck, type WarmUpCheckReading } from './checks/warm-up-check.js';
import {
  evaluateCoolantCondition,
  type CoolantConditionLimits,
  type CoolantConditionReading,
} from './coolant-condition/coolant-condition.js';
import type { CoolantAdditive } from './coolant-condition/additive-dose.js';
import type { CoolantBase, CoolantTechnology, Poured } from './coolant/coolant.js';
import { evaluateFill, type FillReading } from './filling/fill.js';
import { evaluateFreezePoint, type FreezePointReading } from './strength/freeze-point.js';
import { freezePointByStrip } from './coolant-condition/test-strip.js';
import type { Evaluation } from './evaluation/evaluation.js';
import type { FastenerGroup } from './fastening/fastener-group.js';
import { evaluateTorqueSet, type TorqueSetReading } from './fastening/torque-set.js';
import { ImpossibleValue } from './impossible-value.js';
import { atmosphereAt } from './atmosphere/atmosphere.js';
import { evaluateHoldTest, type HoldTestReading } from './pressure/hold-test.js';

/** A measurement taken at a job or by itself, in canonical units; `unit` is what was typed, for wording. */
export type Reading =
  | HoldTestReading
  | FreezePointReading
  | TorqueSetReading
  | FillReading
  | WarmUpCheckReading
  | BeltCheckReading
  | LevelCheckReading
  | TopUpReading
  | CoolantConditionReading
  | CapTestReading
  | CombustionGasTestReading
  | RoadTestReading;

export type ReadingKind = Reading['kind'];

export const READING_KINDS: readonly ReadingKind[] = [
  'hold-test',
  'freeze-point',
  'torque-set',
  'fill',
  'warm-up-check',
  'belt-check',
  'level-check',
  'top-up',
  'coolant-condition',
  'cap-test',
  'combustion-gas-test',
  'road-test',
];

/** The coolant part of a spec sheet. */
export interface CoolantSpec {
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  capacityL?: number | null;
  drainableL?: number | null;
  targetStrengthPercent?: number | null;
  strengthMaxPercent?: number | null;
  capRatingKpa?: number | null;
  maxTestPressureKpa?: number | null;
  thermostatOpensC?: number | null;
  highTemperatureAlarmC?: number | null;
  /** From MIN to MAX on the reservoir. */
  minToMaxL?: number | null;
  additive?: CoolantAdditive | null;
}

/** The hold-test procedure of a spec sheet; the target of a vacuum is the one at sea level. */
export interface HoldTestSpec {
  method?: 'vacuum' | 'pressure' | null;
  targetKpa?: number | null;
  minutes?: number | null;
  allowedLossKpa?: number | null;
}

/**
 * Everything that readings are judged by. All of it may be unknown: a default then stands in and is named in the basis, or the reasons say what is missing.
 */
export interface ReadingContext {
  coolant?: CoolantSpec | null;
  holdTest?: HoldTestSpec | null;
  fasteners?: readonly FastenerGroup[];
  belts?: readonly { name: string; designation: string }[];
  conditionLimits?: CoolantConditionLimits | null;
  heavyDuty?: boolean | null;
  /** Whether coolant runs around the cylinder liners. */
  wetLiners?: boolean | null;
  /** The day of the readings in the fleet's zone, a civil date. */
  takenOn?: string | null;
  /** Where the work was done, m; a barometer reading comes before it. */
  elevationM?: number | null;
  barometerKpa?: number | null;
  designLowTemperatureC?: number | null;
  /**
   * Coolant poured in since the coolant was last replaced, before these readings; empty at a job
   * that replaced it.
   */
  pouredSinceReplacement?: readonly Poured[];
  /**
   * Bases poured in since the system was last flushed, before these readings; empty at a job that
   * flushed it.
   */
  basesSinceFlush?: readonly CoolantBase[];
  /** Latest known strength in the system before these readings, volume %. */
  strengthPercent?: number | null;
  /** Strength of what stayed in the system at a fill, volume %; 0 after a water flush. */
  stayedStrengthPercent?: number | null;
  /** What the fleet changed of the trade's defaults. */
  practice?: Partial<CommonPractice>;
}

/** What the readings of one job tell about each other. */
interface SameJob {
  warmUp: WarmUpCheckReading | null;
  vacuumHold: HoldTestReading | null;
  evacuatedL: number | null;
  /** What its top-ups added. */
  toppedUpL: number;
  readsFreezePoint: boolean;
}

const ALONE: SameJob = {
  warmUp: null,
  vacuumHold: null,
  evacuatedL: null,
  toppedUpL: 0,
  readsFreezePoint: false,
};

/**
 * Judges one reading by itself.
 *
 * @throws ImpossibleValue for an impossible reading, worded so that it can be put right.
 * @example evaluateReading({ kind: 'level-check', belowMarkL: 0, engineCold: true, unit: 'L' }, {}).verdict // 'pass'
 */
export function evaluateReading(reading: Reading, context: ReadingContext): Evaluation {
  return evaluate(reading, context, ALONE);
}

/**
 * Judges the readings of one job, which bear on one another: a warm-up check clears a fill's
 * shortfall, a vacuum hold test tells how much air a vacuum fill left, a top-up adds to the fill, a
 * freeze point
 * settles what a top-up with water left open, and what was poured in counts for all that follows.
 *
 * @returns one evaluation for each reading, in the same order
 * @throws ImpossibleValue for the first impossible reading.
 * @example evaluateJobReadings([fill, warmUpCheck], context)[0].verdict // 'pass', where the fill alone would be 'fail'
 */
export function evaluateJobReadings(readings: readonly Reading[], context: ReadingContext): Evaluation[] {
  const job = sameJobOf(readings);
  const poured: Poured[] = [...(context.pouredSinceReplacement ?? [])];
  return readings.map((reading) => {
    const evaluation = evaluate(reading, { ...context, pouredSinceReplacement: [...poured] }, job);
    if (reading.kind === 'fill' || reading.kind === 'top-up')
      poured.push({
        base: reading.base ?? null,
        technology: reading.technology ?? null,
        volumeL: reading.addedL,
      });
    return evaluation;
  });
}

/**
 * The facts that the readings of one job tell about each other, for judging them one by one, where an impossible one is to be set aside and the rest kept.
 *
 * @example evaluateReadingOfJob(readings, 0, context).verdict // as evaluateJobReadings(readings, context)[0].verdict
 * @throws ImpossibleValue when this reading is impossible.
 */
export function evaluateReadingOfJob(
  readings: readonly Reading[],
  index: number,
  context: ReadingContext,
): Evaluation {
  const reading = readings[index];
  if (reading === undefined)
    throw new ImpossibleValue({
      field: 'index',
      value: index,
      limit: { min: 0, below: readings.length },
      detail: `reading ${index} does not exist: there are ${readings.length}`,
    });
  const before = readings
    .slice(0, index)
    .filter((earlier) => earlier.kind === 'fill' || earlier.kind === 'top-up')
    .map(({ base, technology, addedL }): Poured => ({
      base: base ?? null,
      technology: technology ?? null,
      volumeL: addedL,
    }));
  const pouredSinceReplacement = [...(context.pouredSinceReplacement ?? []), ...before];
  return evaluate(reading, { ...context, pouredSinceReplacement }, sameJobOf(readings));
}

function sameJobOf(readings: readonly Reading[]): SameJob {
  const fill = readings.find((reading) => reading.kind === 'fill');
  return {
    warmUp: readings.findLast((reading) => reading.kind === 'warm-up-check') ?? null,
    vacuumHold:
      readings.findLast(
        (reading): reading is HoldTestReading => reading.kind === 'hold-test' && reading.method === 'vacuum',
      ) ?? null,
    evacuatedL: fill?.drainedL ?? null,
    toppedUpL: readings.reduce(
      (sum, reading) => sum + (reading.kind === 'top-up' ? Math.max(0, reading.addedL) : 0),
      0,
    ),
    readsFreezePoint: readings.some((reading) => reading.kind === 'freeze-point'),
  };
}

function evaluate(reading: Reading, context: ReadingContext, job: SameJob): Evaluation {
  const practice: CommonPractice = { ...COMMON_PRACTICE, ...context.practice };
  const coolant = context.coolant ?? {};
  const { base, technology, capacityL } = coolant;
  const where = { elevationM: context.elevationM, barometerKpa: context.barometerKpa };
  const earlier = context.pouredSinceReplacement ?? [];
  const basesSinceFlush = context.basesSinceFlush ?? [];
  const strengthPercent = context.strengthPercent ?? coolant.targetStrengthPercent ?? null;
  switch (reading.kind) {
    case 'hold-test': {
      const { holdTest } = context;
      return evaluateHoldTest(reading, {
        ...where,
        procedureMethod: holdTest?.method,
        targetKpa: holdTest?.targetKpa,
        allowedLossKpa: holdTest?.allowedLossKpa,
        allowedMinutes: holdTest?.minutes,
        capRatingKpa: coolant.capRatingKpa,
        maxTestPressureKpa: coolant.maxTestPressureKpa,
        base,
        strengthPercent,
        // A vacuum is pulled on the space that was drained; how much air a filled system holds is not known.
        volumeL: reading.method === 'vacuum' && (job.evacuatedL ?? 0) > 0 ? job.evacuatedL : null,
        overPressure: 'record',
        practice,
      });
    }
    case 'freeze-point':
      return freezePointByStrip(
        evaluateFreezePoint(reading, {
          base,
          basesInSystem: [...basesSinceFlush, ...earlier.flatMap((poured) => poured.base ?? [])],
          designLowTemperatureC: context.designLowTemperatureC,
          strengthMaxPercent: coolant.strengthMaxPercent,
          practice,
        }),
        reading,
        context.takenOn ?? null,
      );
    case 'torque-set':
      return evaluateTorqueSetOfSheet(reading, context.fasteners ?? [], practice);
    case 'fill':
      return evaluateFill(reading, {
        base,
        technology,
        capacityL,
        drainableL: coolant.drainableL,
        earlier,
        basesSinceFlush,
        stayedStrengthPercent: context.stayedStrengthPercent,
        filledFromVacuum: vacuumFillOf(job.vacuumHold, context),
        warmUp: job.warmUp,
        toppedUpL: job.toppedUpL,
        readsFreezePoint: job.readsFreezePoint,
        practice,
      });
    case 'warm-up-check':
      return evaluateWarmUpCheck(reading);
    case 'belt-check':
      return evaluateBeltCheck(reading, designationOf(reading, context.belts ?? []));
    case 'level-check':
      return evaluateLevelCheck(reading, { capacityL, minToMaxL: coolant.minToMaxL, practice });
    case 'top-up':
      return evaluateTopUp(reading, {
        base,
        technology,
        capacityL,
        earlier,
        basesSinceFlush,
        strengthPercent: context.strengthPercent,
        strengthReadInSameJob: job.readsFreezePoint,
        practice,
      });
    case 'coolant-condition':
      return evaluateCoolantCondition(reading, {
        technology,
        heavyDuty: context.heavyDuty,
        wetLiners: context.wetLiners,
        limits: context.conditionLimits,
        additive: coolant.additive,
        capacityL,
        takenOn: context.takenOn,
        practice,
      });
    case 'cap-test':
      return evaluateCapTest(reading, { capRatingKpa: coolant.capRatingKpa, practice });
    case 'combustion-gas-test':
      return evaluateCombustionGasTest(reading);
    case 'road-test':
      return evaluateRoadTest(reading, {
        ...where,
        base,
        strengthPercent,
        capRatingKpa: coolant.capRatingKpa,
        thermostatOpensC: coolant.thermostatOpensC,
        highTemperatureAlarmC: coolant.highTemperatureAlarmC,
        practice,
      });
  }
}

// A name that the sheet does not have is a slip that a null verdict would let through.
function evaluateTorqueSetOfSheet(
  reading: TorqueSetReading,
  fasteners: readonly FastenerGroup[],
  practice: CommonPractice,
): Evaluation {
  const group = fasteners.find(({ name }) => name === reading.fastener) ?? null;
  const evaluation = evaluateTorqueSet(reading, group, practice);
  if (group !== null || fasteners.length === 0) return evaluation;
  const names = fasteners.map(({ name }) => name).join(', ');
  return {
    ...evaluation,
    verdict: 'inconclusive',
    reasons: [
      `${reading.fastener} is not on the spec sheet, which has: ${names}. Post it under its name there.`,
    ],
  };
}

function designationOf(
  reading: BeltCheckReading,
  belts: readonly { name: string; designation: string }[],
): string | null {
  const belt =
    reading.item == null
      ? belts.length === 1
        ? belts[0]
        : undefined
      : belts.find(({ name }) => name === reading.item);
  return belt?.designation ?? null;
}

// A vacuum that failed, or took out less than half of the air, is not one to fill from: the air
// that it left would explain litres that are missing for another reason.
function vacuumFillOf(
  hold: HoldTestReading | null,
  context: ReadingContext,
): { vacuumKpa: number; atmosphereKpa: number } | null {
  if (hold === null) return null;
  try {
    const barometerKpa = hold.barometerKpa ?? context.barometerKpa;
    const { kpa } = atmosphereAt({ barometerKpa, elevationM: context.elevationM }, hold.unit);
    const sound = evaluate(hold, context, ALONE).verdict !== 'fail' && hold.endKpa >= kpa / 2;
    return sound ? { vacuumKpa: hold.endKpa, atmosphereKpa: kpa } : null;
  } catch (error) {
    // An impossible hold test is told where it is judged itself; the fill still counts.
    if (error instanceof ImpossibleValue) return null;
    throw error;
  }
}
