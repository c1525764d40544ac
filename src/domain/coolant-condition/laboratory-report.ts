import type { Findings } from '../evaluation/findings.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { requireFinite } from '../quantities/plausible.js';
import { message } from './messages.js';

/** A value of a laboratory's report, with the limits that the laboratory judged it by. */
export interface LaboratoryValue {
  name: string;
  value: number;
  /** As the report has it, such as mg/L. */
  unit?: string | null;
  min?: number | null;
  max?: number | null;
}

/** What a laboratory reported of a coolant sample. */
export interface LaboratoryReport {
  laboratory?: string | null;
  reportNumber?: string | null;
  /** A civil date. */
  sampledOn?: string | null;
  values?: readonly LaboratoryValue[] | null;
  remarks?: string | null;
}

/** Values that the rules judge by themselves, by the names that laboratories give them. */
const KNOWN = {
  ph: 'pH',
  nitrite: 'nitriteMgPerL',
  molybdate: 'molybdateMgPerL',
} as const;
export type KnownField = (typeof KNOWN)[keyof typeof KNOWN];

/**
 * Units of a known value; in coolant 1 ppm counts as 1 mg/L (common practice).
 */
const KNOWN_UNITS: readonly string[] = ['', 'mg/l', 'ppm'];

/**
 * The values of a report that have a field of their own, by that field.
 *
 * @example knownValues({ values: [{ name: 'Nitrite', value: 450, unit: 'ppm' }] }) // { nitriteMgPerL: 450 }
 */
export function knownValues(report: LaboratoryReport): Partial<Record<KnownField, number>> {
  const entries = (report.values ?? []).flatMap((value) => {
    const field = knownFieldOf(value);
    return field === null ? [] : [[field, value.value] as const];
  });
  return Object.fromEntries(entries);
}

/**
 * The field that a laboratory's value has of its own; null for others. @example knownFieldOf({
 * name: 'Chloride', value: 310 }) // null
 */
export function knownFieldOf({ name, unit }: LaboratoryValue): KnownField | null {
  const key = name.trim().toLowerCase();
  const isKnown = Object.hasOwn(KNOWN, key) && KNOWN_UNITS.includes((unit ?? '').trim().toLowerCase());
  return isKnown ? KNOWN[key as keyof typeof KNOWN] : null;
}

/**
 * The values of a report that lie outside the limits given with them.
 *
 * @example outsideOf({ values: [{ name: 'Chloride', value: 310, max: 200 }] }).length // 1
 */
export function outsideOf({ values }: LaboratoryReport): LaboratoryValue[] {
  return (values ?? []).filter(
    ({ value, min, max }) => (min != null && value < min) || (max != null && value > max),
  );
}

/**
 * Whether all that a laboratory found outside its limits is pH, nitrite or molybdate, which an
 * additive mends.
 *
 * @example areAdditivesAlone({ values: [{ name: 'Chloride', value: 310, max: 200 }] }) // false
 */
export function areAdditivesAlone(report: LaboratoryReport): boolean {
  const outside = outsideOf(report);
  return outside.length > 0 && outside.every((value) => knownFieldOf(value) !== null);
}

/**
 * Judges a report's values by the limits given with them. Values without limits are shown and not
 * judged.
 *
 * @returns how many were judged, and whether one lay outside its limits
 * @throws ImpossibleValue for a value that is not a number, or a least above the greatest.
 * @example judgeLaboratory({ values: [{ name: 'Chloride', value: 310, unit: 'mg/L', max: 200 }] }, noFindings()) // { judged: 1, isOutside: true }
 */
export function judgeLaboratory(
  report: LaboratoryReport,
  { fails, remarks }: Findings,
): { judged: number; isOutside: boolean } {
  let [judged, isOutside] = [0, false];
  for (const value of report.values ?? []) {
    const { name, min = null, max = null } = value;
    requireFinite('laboratory', value.value);
    if (min !== null && max !== null && min > max)
      throw new ImpossibleValue({
        field: 'laboratory',
        value: min,
        limit: { max },
        detail: message('laboratory-min-above-max', { name, min, max }),
      });
    const measured = valueTerm(value);
    if (min === null && max === null) {
      if (knownFieldOf(value) === null) remarks.push(message('laboratory-value-no-limit', { measured }));
      continue;
    }
    judged += 1;
    if (min !== null && value.value < min)
      fails.push(message('coolant-value-too-low', { measured, least: min, cavitation: 'no' }));
    else if (max !== null && value.value > max)
      fails.push(message('coolant-value-too-high', { measured, most: max }));
    else continue;
    isOutside = true;
  }
  if (report.remarks) remarks.push(message('laboratory-says', { remarks: report.remarks }));
  return { judged, isOutside };
}

function valueTerm({ name, value, unit }: LaboratoryValue): Message {
  return unit
    ? message('laboratory-value', { name, value, unit })
    : message('laboratory-value-without-unit', { name, value });
}

/** A laboratory's report as an entry of the basis. */
export function reportBasis({ laboratory, reportNumber, sampledOn }: LaboratoryReport): Message {
  const parts = [
    ...(laboratory == null ? [] : [laboratory]),
    ...(reportNumber == null ? [] : [message('laboratory-report-number', { number: reportNumber })]),
    ...(sampledOn == null ? [] : [message('laboratory-sampled-on', { on: sampledOn })]),
  ];
  return parts.length === 0
    ? message('basis-laboratory-report')
    : message('basis-laboratory-report-of', { parts });
}
