import { canonicalJson } from '../../domain/canonical-json.js';
import { SHEET_VALUES, type SheetValue } from '../../domain/evaluation/starter-mark.js';
import type { CircuitSpec, SpecCircuit, SpecSheet } from '../../entities/spec-sheet.entity.js';

/** Where each value is in a posted sheet. */
const POINTERS: Record<SheetValue, string> = {
  coolantBase: '/coolant/base',
  coolantTechnology: '/coolant/technology',
  capacityL: '/coolant/capacity',
  drainableL: '/coolant/drainable',
  targetStrengthPercent: '/coolant/targetStrengthPercent',
  strengthMaxPercent: '/coolant/strengthMax',
  capRatingKpa: '/coolant/capRating',
  maxTestPressureKpa: '/coolant/maxTestPressure',
  thermostatOpensC: '/coolant/thermostatOpens',
  highTemperatureAlarmC: '/coolant/highTemperatureAlarm',
  minToMaxL: '/coolant/litresMinToMax',
  additive: '/coolant/additive',
  coolantCondition: '/coolant/condition',
  holdTestMethod: '/holdTest/method',
  holdTestTargetKpa: '/holdTest/target',
  holdTestMinutes: '/holdTest/minutes',
  holdTestAllowedLossKpa: '/holdTest/allowedLoss',
};

type Circuits = CircuitSpec & { otherCircuits: SpecCircuit[] };

/** All the values that a ready-made sheet gives, by their stored names. */
export function givenValues(sheet: Circuits): string[] {
  const given = (spec: CircuitSpec, prefix: string): string[] =>
    SHEET_VALUES.filter((value) => spec[value] !== null).map((value) => `${prefix}${value}`);
  return [...given(sheet, ''), ...sheet.otherCircuits.flatMap((other) => given(other, `${other.circuit}/`))];
}

/** The ready-made values that a change leaves as they were. */
export function unchangedValues(before: SpecSheet, after: Circuits): string[] {
  return before.starterValues.filter((name) => {
    const [now, then] = [valueOf(after, name), valueOf(before, name)];
    return canonicalJson(now ?? null) === canonicalJson(then ?? null);
  });
}

/** Where the ready-made values are in the sheet as it is shown. */
export function starterPointers({ starterValues, otherCircuits }: SpecSheet): string[] {
  return starterValues.map((name) => {
    const [circuit, value] = parts(name);
    const pointer = POINTERS[value];
    if (circuit === null) return pointer;
    return `/otherCircuits/${otherCircuits.findIndex((other) => other.circuit === circuit)}${pointer}`;
  });
}

/** The pointer of a value of the first circuit, or of another by its place. */
export const pointerOf = (value: SheetValue, place: number): string =>
  place === 0 ? POINTERS[value] : `/otherCircuits/${place - 1}${POINTERS[value]}`;

function parts(name: string): [string | null, SheetValue] {
  const slash = name.indexOf('/');
  return slash === -1
    ? [null, name as SheetValue]
    : [name.slice(0, slash), name.slice(slash + 1) as SheetValue];
}

function valueOf(sheet: Circuits, name: string): unknown {
  const [circuit, value] = parts(name);
  const spec = circuit === null ? sheet : sheet.otherCircuits.find((other) => other.circuit === circuit);
  return spec?.[value];
}
