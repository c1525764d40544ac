import {
  COMMON_PRACTICE,
  type CommonPractice,
} from '../../../../../src/domain/evaluation/common-practice.js';
import { canonicalOf } from '../../../../../src/domain/quantities/given.js';
import type { Quantity } from '../../../../../src/domain/quantities/units.js';
import type { HoldTestMethod } from '../../../../../src/domain/pressure/hold-test-reading.js';
import type {
  BeltOnSheet,
  CoolantSpec,
  HoldTestSpec,
  ReadingContext,
} from '../../../../../src/domain/readings/contract/reading-context.js';
import type { CircuitName } from '../../../../../src/domain/vehicles/circuits.js';
import type { components } from '../../../../typescript/src/client.js';

type Schemas = components['schemas'];
export type Card = Schemas['JobCardView'];
export type SpecSheet = Schemas['SpecSheetView'];

/** All that the phone knows of a vehicle; kept for when there is no network. */
export interface KnownVehicle {
  card: Card;
  sheet: SpecSheet | null;
  dueLines: Schemas['DueLineItem'][];
  /** The fleet's practice values. Undefined: kept by an older version of the page. */
  practice?: Practice;
}

/** The trade's defaults, those that the fleet changed among them. */
export type Practice = Schemas['FleetDefaults'];

/** Only the shape of a quantity is known of an answer. */
type Answered = object | null | undefined;
const pressure = (given: Answered) => canonicalOf('pressure', given as Quantity | null);
const volume = (given: Answered) => canonicalOf('volume', given as Quantity | null);
const temperature = (given: Answered) => canonicalOf('temperature', given as Quantity | null);
const torque = (given: Answered) => canonicalOf('torque', given as Quantity | null);
const size = (given: Answered) => canonicalOf('size', given as Quantity | null);
const force = (given: Answered) => canonicalOf('force', given as Quantity | null);

function coolantOf(coolant: Schemas['CoolantSpec'] | null | undefined): CoolantSpec | null {
  if (!coolant) return null;
  return {
    base: coolant.base,
    technology: coolant.technology ?? null,
    capacityL: volume(coolant.capacity),
    drainableL: volume(coolant.drainable),
    targetStrengthPercent: coolant.targetStrengthPercent ?? null,
    strengthMaxPercent: coolant.strengthMax ?? null,
    capRatingKpa: pressure(coolant.capRating),
    maxTestPressureKpa: pressure(coolant.maxTestPressure),
    thermostatOpensC: temperature(coolant.thermostatOpens),
    highTemperatureAlarmC: temperature(coolant.highTemperatureAlarm),
    minToMaxL: volume(coolant.litresMinToMax),
  };
}

function holdTestOf(test: Schemas['HoldTestSpec'] | null | undefined): HoldTestSpec | null {
  if (!test) return null;
  return {
    method: (test.method ?? null) as HoldTestMethod | null,
    targetKpa: pressure(test.target),
    minutes: test.minutes ?? null,
    allowedLossKpa: pressure(test.allowedLoss),
  };
}

function tensionOf(tension: Schemas['BeltTensionSpec'] | null | undefined): BeltOnSheet['tension'] {
  if (!tension) return null;
  const range = (given: Schemas['TensionRangeSpec'] | null | undefined) =>
    given
      ? {
          frequencyMinHz: given.frequencyMinHz ?? null,
          frequencyMaxHz: given.frequencyMaxHz ?? null,
          deflectionMinMm: size(given.deflectionMin),
          deflectionMaxMm: size(given.deflectionMax),
        }
      : null;
  return {
    inService: range(tension.inService),
    newBelt: range(tension.newBelt),
    deflectionForceN: force(tension.deflectionForce),
    massKgPerM: tension.massKgPerM ?? null,
  };
}

/** What the fleet changed of the trade's defaults; an answer says which of the two it used. */
function changedBy(practice: Practice): Partial<CommonPractice> {
  const changed = Object.entries(practice).filter(
    ([name, value]) => COMMON_PRACTICE[name as keyof CommonPractice] !== value,
  );
  return Object.fromEntries(changed);
}

/**
 * What readings in a circuit of the vehicle are judged by. The phone does not know what was poured
 * in before: the service does.
 *
 * @param circuit undefined: the first
 */
export function contextOf(
  { card, sheet, practice }: KnownVehicle,
  circuit: CircuitName | undefined,
): ReadingContext {
  const isFirst = circuit === undefined || circuit === (sheet?.circuit ?? 'engine');
  const part = isFirst ? sheet : (sheet?.otherCircuits ?? []).find((other) => other.circuit === circuit);
  const condition = part?.coolant?.condition ?? null;
  return {
    coolant: coolantOf(part?.coolant),
    holdTest: holdTestOf(part?.holdTest),
    fasteners: (sheet?.fasteners ?? []).map((group) => ({
      ...{ name: group.name, count: group.count, angle: group.angle ?? null },
      ...{ tolerancePercent: group.tolerancePercent ?? null, torqueNm: torque(group.torque) },
      ...{ minNm: torque(group.min), maxNm: torque(group.max) },
    })),
    belts: (sheet?.belts ?? []).map((belt) => ({
      ...{ name: belt.name, designation: belt.designation ?? null, tension: tensionOf(belt.tension) },
      tensionerArmSwingMaxMm: size(belt.tensionerArmSwingMax),
    })),
    conditionLimits: condition,
    heavyDuty: condition?.heavyDuty ?? null,
    wetLiners: condition?.wetLiners ?? null,
    elevationM: canonicalOf('elevation', (card.vehicle.depot?.elevation ?? null) as Quantity | null),
    designLowTemperatureC: temperature(card.vehicle.designLowTemperature),
    ...(practice ? { practice: changedBy(practice) } : {}),
    strengthPercent: isFirst ? (card.lastFreezePoint?.strengthVolumePercent ?? null) : null,
    takenOn: card.asOf,
  };
}
