import { asTyped, plain, say } from '../../domain/quantities/wording.js';
import { STRONGEST_PERCENT } from '../../domain/strength/strength-limits.js';
import { ImpossibleValue } from '../../domain/impossible-value.js';
import { greatestTestPressureKpa } from '../../domain/pressure/hold-test-procedure.js';
import { overPressure } from '../../domain/pressure/over-pressure.js';
import { STANDARD_SEA_LEVEL_KPA } from '../../domain/atmosphere/standard-atmosphere.js';
import { requireReachableVacuum } from '../../domain/pressure/vacuum-target.js';
import { convert, type Quantity, type Unit } from '../../domain/quantities/units.js';
import { domainFaults, duplicateFaults } from '../../platform/problems/domain-faults.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import type { AdditiveSpec, CoolantConditionSpec, CoolantSpec } from './coolant-spec.dto.js';
import type { FastenerSpec, HoldTestSpec, SpecSheetInput } from './spec-sheet.dto.js';

/** What is wrong with a sheet whose fields are right one by one. */
export function specSheetFaults(sheet: SpecSheetInput): FieldFault[] {
  const { coolant, holdTest, fasteners, belts, hoses } = sheet;
  const names = (entries: { name: string }[] | null | undefined): string[] =>
    (entries ?? []).map(({ name }) => name);
  return [
    ...coolantFaults(coolant),
    ...(holdTest ? holdTestFaults(holdTest, coolant) : []),
    ...(fasteners ?? []).flatMap((fastener, index) => fastenerFaults(fastener, `/fasteners/${index}`)),
    ...duplicateFaults(names(fasteners), (index) => `/fasteners/${index}/name`, 'the name of the fastener'),
    ...duplicateFaults(names(belts), (index) => `/belts/${index}/name`, 'the name of the belt'),
    ...duplicateFaults(hoses ?? [], (index) => `/hoses/${index}`, 'the name of the hose'),
    ...duplicateFaults(
      (sheet.labour?.preparations ?? []).map(({ preparation }) => preparation),
      (index) => `/labour/preparations/${index}/preparation`,
      'what hours are given for',
    ),
    ...duplicateFaults(
      (sheet.labour?.lines ?? []).map(({ component, action }) => `${component}: ${action}`),
      (index) => `/labour/lines/${index}`,
      'what hours are given for',
    ),
  ];
}

/** Values typed in two units come back from one with a last digit of noise. */
const above = (value: number, limit: number): boolean => value > limit * (1 + 1e-9);

const inWords = ({ value, unit }: Quantity): string => say(value, unit, unit);

function coolantFaults(coolant: CoolantSpec): FieldFault[] {
  const faults: FieldFault[] = [];
  const { capacity, drainable, targetStrengthPercent: target } = coolant;
  if (drainable && above(canonicalOf('volume', drainable) ?? 0, canonicalOf('volume', capacity) ?? 0)) {
    faults.push({
      pointer: '/coolant/drainable',
      detail: `is ${inWords(drainable)}, more than the ${inWords(capacity)} that the system holds`,
    });
  }
  const strengthMax = coolant.strengthMax ?? STRONGEST_PERCENT;
  if (target != null && target > strengthMax) {
    faults.push({
      pointer: '/coolant/targetStrengthPercent',
      detail:
        `is ${plain(target)} %, above the greatest strength of ${plain(strengthMax)} %` +
        (coolant.strengthMax == null ? '; give strengthMax if this coolant may be stronger' : ''),
    });
  }
  return [
    ...faults,
    ...temperatureFaults(coolant),
    ...marksFaults(coolant),
    ...additiveFaults(coolant.additive ?? null),
    ...conditionFaults(coolant.condition ?? {}),
  ];
}

/** What thermostats open at and alarms warn at, °C: generous, so that °F typed as °C is noticed. */
const TEMPERATURES = {
  thermostatOpens: { min: 40, max: 120, what: 'thermostats open at' },
  highTemperatureAlarm: { min: 60, max: 150, what: 'alarms warn at' },
} as const;

function temperatureFaults(coolant: CoolantSpec): FieldFault[] {
  const faults: FieldFault[] = [];
  for (const field of ['thermostatOpens', 'highTemperatureAlarm'] as const) {
    const given = coolant[field];
    const celsius = canonicalOf('temperature', given);
    const { min, max, what } = TEMPERATURES[field];
    if (!given || celsius === null || (celsius >= min - 1e-9 && celsius <= max + 1e-9)) continue;
    const { unit } = given;
    const other = unit === 'C' ? 'F' : 'C';
    const otherC = convert(given.value, other, 'C');
    const meant = otherC >= min && otherC <= max ? `: was it ${say(given.value, other, other)}?` : '';
    faults.push({
      pointer: `/coolant/${field}`,
      detail: `is ${inWords(given)}, outside what ${what}, ${say(min, 'C', unit)} to ${say(max, 'C', unit)}${meant}`,
    });
  }
  const { thermostatOpens: opens, highTemperatureAlarm: alarm } = coolant;
  if (faults.length > 0 || !opens || !alarm) return faults;
  if (above(canonicalOf('temperature', alarm) ?? 0, canonicalOf('temperature', opens) ?? 0)) return [];
  return [
    {
      pointer: '/coolant/highTemperatureAlarm',
      detail: `is ${inWords(alarm)}, not above where the thermostat opens, ${inWords(opens)}`,
    },
  ];
}

function marksFaults({ capacity, litresMinToMax }: CoolantSpec): FieldFault[] {
  const capacityL = canonicalOf('volume', capacity) ?? 0;
  if (!litresMinToMax || above(capacityL, canonicalOf('volume', litresMinToMax) ?? 0)) return [];
  const detail = `is ${inWords(litresMinToMax)}, as much as the ${inWords(capacity)} that the whole system holds`;
  return [{ pointer: '/coolant/litresMinToMax', detail }];
}

function additiveFaults(additive: AdditiveSpec | null): FieldFault[] {
  if (additive === null) return [];
  const { raisesScaUnitsPerGallon, raisesNitriteMgPerL, raisesMolybdateMgPerL } = additive;
  if ((raisesScaUnitsPerGallon ?? raisesNitriteMgPerL ?? raisesMolybdateMgPerL) != null) return [];
  const detail =
    'does not say what it raises: give raisesScaUnitsPerGallon, raisesNitriteMgPerL or raisesMolybdateMgPerL, as on the bottle';
  return [{ pointer: '/coolant/additive', detail }];
}

/** Limits that no coolant could meet. */
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
    return [
      { pointer: `/coolant/condition/${least}`, detail: `is ${plain(min)}, above ${most}, ${plain(max)}` },
    ];
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
      detail: `is ${inWords(allowedLoss)}; no gauge can show that nothing at all was lost: give what the procedure allows, above zero`,
    });
  } else if (reachKpa !== null && lossKpa >= reachKpa) {
    faults.push({
      pointer: '/holdTest/allowedLoss',
      detail: `is ${inWords(allowedLoss)}, as much as the whole ${method} of ${say(reachKpa, 'kPa', allowedLoss.unit)}: a system without any hold would pass`,
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
      detail: `a pressure of ${say(targetKpa, 'kPa', unit)} tests nothing`,
    });
  }
  overPressure({ startKpa: targetKpa, endKpa: targetKpa, unit }, greatestKpa, 'refuse');
}

function fastenerFaults(fastener: FastenerSpec, pointer: string): FieldFault[] {
  const { torque, min, max, tolerancePercent } = fastener;
  if (!min !== !max) {
    const [given, missing] = min ? ['min', 'max'] : ['max', 'min'];
    return [
      { pointer: `${pointer}/${missing}`, detail: `is missing: ${given} is given, and the two go together` },
    ];
  }
  if (!min || !max) {
    if (torque) return [];
    return [{ pointer, detail: 'has no torque: give torque (with tolerancePercent), or min and max' }];
  }
  const minNm = canonicalOf('torque', min) ?? 0;
  const maxNm = canonicalOf('torque', max) ?? 0;
  if (above(minNm, maxNm)) {
    return [{ pointer: `${pointer}/min`, detail: `is ${inWords(min)}, above max, ${inWords(max)}` }];
  }
  if (tolerancePercent != null) {
    const detail = 'is given together with min and max, which say the same in another way: leave one out';
    return [{ pointer: `${pointer}/tolerancePercent`, detail }];
  }
  const torqueNm = canonicalOf('torque', torque);
  if (torque && torqueNm !== null && (above(torqueNm, maxNm) || above(minNm, torqueNm))) {
    const detail = `is ${inWords(torque)}, outside min and max, ${inWords(min)} to ${inWords(max)}`;
    return [{ pointer: `${pointer}/torque`, detail }];
  }
  return [];
}
