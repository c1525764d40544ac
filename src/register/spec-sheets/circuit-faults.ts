import { canonical, type MeasureKind } from '../../domain/quantities/measures.js';
import { told, type Told } from '../../domain/quantities/told.js';
import { asTyped, say } from '../../domain/quantities/wording.js';
import { STRONGEST_PERCENT } from '../../domain/strength/strength-limits.js';
import { ImpossibleValue } from '../../domain/impossible-value.js';
import { greatestTestPressureKpa } from '../../domain/pressure/hold-test-procedure.js';
import { overPressure } from '../../domain/pressure/over-pressure.js';
import { STANDARD_SEA_LEVEL_KPA } from '../../domain/atmosphere/standard-atmosphere.js';
import { requireReachableVacuum } from '../../domain/pressure/vacuum-target.js';
import { convert, type Quantity, type Unit } from '../../domain/quantities/units.js';
import { type CircuitName, isElectric } from '../../domain/vehicles/circuits.js';
import { domainFaults, duplicateFaults } from '../../platform/problems/domain-faults.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import { message } from './messages.js';
import type { AdditiveSpec, CoolantConditionSpec, CoolantSpec } from './coolant-spec.dto.js';
import type { CircuitSpecInput, HoldTestSpec } from './spec-sheet.dto.js';

/**
 * What is wrong with what a sheet says of a circuit, where its fields are valid one by one.
 *
 * @returns with pointers from the circuit on
 */
export function circuitFaults(
  { coolant, holdTest, labour }: CircuitSpecInput,
  circuit: CircuitName,
): FieldFault[] {
  return [
    ...coolantFaults(coolant, circuit),
    ...(holdTest ? holdTestFaults(holdTest, coolant) : []),
    ...duplicateFaults(
      (labour?.preparations ?? []).map(({ preparation }) => preparation),
      (index) => `/labour/preparations/${index}/preparation`,
      'hours',
    ),
    ...duplicateFaults(
      (labour?.lines ?? []).map(({ component, action }) => `${component}: ${action}`),
      (index) => `/labour/lines/${index}`,
      'hours',
    ),
  ];
}

/** Values typed in two units can differ in the last digit after conversion. */
export const above = (value: number, limit: number): boolean => value > limit * (1 + 1e-9);

/** A quantity of the sheet as it was typed, or in the unit of a neighbouring quantity. */
export const typed = (kind: MeasureKind, quantity: Quantity, unit: Unit = quantity.unit): Told =>
  told(kind, canonical(kind, quantity), unit);

function coolantFaults(coolant: CoolantSpec, circuit: CircuitName): FieldFault[] {
  const faults: FieldFault[] = [];
  const { capacity, drainable, targetStrengthPercent: target } = coolant;
  if (drainable && above(canonicalOf('volume', drainable) ?? 0, canonicalOf('volume', capacity) ?? 0)) {
    faults.push({
      pointer: '/coolant/drainable',
      detail: message('sheet-drainable-above-capacity', {
        given: typed('volume', drainable),
        limit: typed('volume', capacity, drainable.unit),
      }),
    });
  }
  const strengthMax = coolant.strengthMax ?? STRONGEST_PERCENT;
  if (target != null && target > strengthMax) {
    faults.push({
      pointer: '/coolant/targetStrengthPercent',
      detail: message('sheet-strength-above-greatest', {
        given: target,
        limit: strengthMax,
        limitIs: coolant.strengthMax == null ? 'usual' : 'given',
      }),
    });
  }
  return [
    ...faults,
    ...temperatureFaults(coolant, circuit),
    ...marksFaults(coolant),
    ...additiveFaults(coolant.additive ?? null),
    ...conditionFaults(coolant.condition ?? {}),
  ];
}

/**
 * At what temperatures thermostats open and alarms warn, °C. Generous, but narrow enough to catch
 * °F typed as °C.
 */
const TEMPERATURES = {
  thermostatOpens: { min: 40, max: 120 },
  highTemperatureAlarm: { min: 60, max: 150 },
} as const;

/** The same where batteries or power electronics are cooled, which have to stay cooler. */
const ELECTRIC_TEMPERATURES = {
  thermostatOpens: { min: 5, max: 100 },
  highTemperatureAlarm: { min: 25, max: 120 },
} as const;

function temperatureFaults(coolant: CoolantSpec, circuit: CircuitName): FieldFault[] {
  const faults: FieldFault[] = [];
  for (const what of ['thermostatOpens', 'highTemperatureAlarm'] as const) {
    const given = coolant[what];
    const celsius = canonicalOf('temperature', given);
    const { min, max } = (isElectric(circuit) ? ELECTRIC_TEMPERATURES : TEMPERATURES)[what];
    if (!given || celsius === null || (celsius >= min - 1e-9 && celsius <= max + 1e-9)) continue;
    const { unit } = given;
    const other = unit === 'C' ? 'F' : 'C';
    const otherC = convert(given.value, other, 'C');
    const values = {
      given: typed('temperature', given),
      what,
      low: told('temperature', min, unit),
      high: told('temperature', max, unit),
    };
    const isOtherUnit = otherC >= min && otherC <= max;
    faults.push({
      pointer: `/coolant/${what}`,
      detail: isOtherUnit
        ? message('sheet-temperature-other-unit', { ...values, meant: say(given.value, other, other) })
        : message('sheet-temperature-unlikely', values),
    });
  }
  const { thermostatOpens: opens, highTemperatureAlarm: alarm } = coolant;
  if (faults.length > 0 || !opens || !alarm) return faults;
  if (above(canonicalOf('temperature', alarm) ?? 0, canonicalOf('temperature', opens) ?? 0)) return [];
  return [
    {
      pointer: '/coolant/highTemperatureAlarm',
      detail: message('sheet-alarm-below-thermostat', {
        given: typed('temperature', alarm),
        limit: typed('temperature', opens),
      }),
    },
  ];
}

function marksFaults({ capacity, litresMinToMax }: CoolantSpec): FieldFault[] {
  const capacityL = canonicalOf('volume', capacity) ?? 0;
  if (!litresMinToMax || above(capacityL, canonicalOf('volume', litresMinToMax) ?? 0)) return [];
  const detail = message('sheet-marks-above-capacity', {
    given: typed('volume', litresMinToMax),
    limit: typed('volume', capacity),
  });
  return [{ pointer: '/coolant/litresMinToMax', detail }];
}

function additiveFaults(additive: AdditiveSpec | null): FieldFault[] {
  if (additive === null) return [];
  const { raisesScaUnitsPerGallon, raisesNitriteMgPerL, raisesMolybdateMgPerL } = additive;
  if ((raisesScaUnitsPerGallon ?? raisesNitriteMgPerL ?? raisesMolybdateMgPerL) != null) return [];
  return [{ pointer: '/coolant/additive', detail: message('sheet-additive-raises-nothing') }];
}

/** Finds limits that no coolant could meet. */
function conditionFaults(condition: CoolantConditionSpec): FieldFault[] {
  const pairs = [
    ['pHMin', 'pHMax'],
    ['nitriteMinMgPerL', 'nitriteMaxMgPerL'],
    ['molybdateMinMgPerL', 'molybdateMaxMgPerL'],
    ['scaMinUnitsPerGallon', 'scaMaxUnitsPerGallon'],
  ] as const;
  return pairs.flatMap(([least, most]) => {
    const [min, max] = [condition[least], condition[most]];
    if (min == null || max == null || min <= max) return [];
    const detail = message('sheet-limits-crossed', { given: min, field: most, limit: max });
    return [{ pointer: `/coolant/condition/${least}`, detail }];
  });
}

function holdTestFaults(holdTest: HoldTestSpec, coolant: CoolantSpec): FieldFault[] {
  const { method, target, allowedLoss } = holdTest;
  const limitKpa = greatestTestPressureKpa(
    canonicalOf('pressure', coolant.capRating),
    canonicalOf('pressure', coolant.maxTestPressure),
  );
  const targetKpa = canonicalOf('pressure', target);
  const faults: FieldFault[] = [];
  if (target && targetKpa !== null) {
    const pointers = { target: '/holdTest/target', start: '/holdTest/target' };
    faults.push(
      ...domainFaults(pointers, '/holdTest', () =>
        method === 'vacuum'
          ? requireReachableVacuum('target', targetKpa, target.unit)
          : requireSafePressure(targetKpa, target.unit, limitKpa),
      ),
    );
  }
  const lossKpa = canonicalOf('pressure', allowedLoss);
  if (faults.length > 0 || lossKpa === null || !allowedLoss) return faults;
  const reachKpa = targetKpa ?? (method === 'vacuum' ? STANDARD_SEA_LEVEL_KPA : limitKpa);
  if (lossKpa <= 0) {
    faults.push({
      pointer: '/holdTest/allowedLoss',
      detail: message('sheet-loss-none-allowed', { given: typed('pressure', allowedLoss) }),
    });
  } else if (reachKpa !== null && lossKpa >= reachKpa) {
    faults.push({
      pointer: '/holdTest/allowedLoss',
      detail: message('sheet-loss-as-much-as-all', {
        given: typed('pressure', allowedLoss),
        all: told('pressure', reachKpa, allowedLoss.unit),
        method,
      }),
    });
  }
  return faults;
}

function requireSafePressure(targetKpa: number, unit: Unit, greatestKpa: number | null): void {
  if (targetKpa <= 0) {
    throw new ImpossibleValue({
      field: 'target',
      value: asTyped(targetKpa, 'kPa', unit),
      limit: { above: 0 },
      detail: message('sheet-pressure-tests-nothing', { pressure: told('pressure', targetKpa, unit) }),
    });
  }
  overPressure({ startKpa: targetKpa, endKpa: targetKpa, unit }, greatestKpa, 'refuse');
}
