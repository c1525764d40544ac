import type { CoolantConditionReading } from '../coolant-condition/coolant-condition.js';
import {
  type KnownField,
  knownFieldOf,
  type LaboratoryValue,
} from '../coolant-condition/laboratory-report.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import type { Reading } from '../readings/kinds.js';
import type { Finding } from './follow-up-table.js';
import { outsideOf } from '../coolant-condition/laboratory-report.js';

type Judged = { canonical: Reading; evaluation: Pick<Evaluation, 'computed'> };

const FIELDS = [
  'appearance',
  'pH',
  'nitriteMgPerL',
  'molybdateMgPerL',
  'scaUnitsPerGallon',
  'reserveAlkalinityMl',
] as const satisfies (keyof CoolantConditionReading)[];

/** Which value each additive finding of a coolant condition is about. */
const ADDITIVES: Readonly<Record<string, (typeof FIELDS)[number]>> = {
  'ph-low': 'pH',
  'ph-high': 'pH',
  'nitrite-low': 'nitriteMgPerL',
  'nitrite-high': 'nitriteMgPerL',
  'molybdate-low': 'molybdateMgPerL',
  'molybdate-high': 'molybdateMgPerL',
  'sca-low': 'scaUnitsPerGallon',
  'sca-high': 'scaUnitsPerGallon',
};

/**
 * Whether a coolant condition measured again what failed before: a clear look proves nothing
 * about pH, and nitrite nothing about oil.
 *
 * @example isMeasuredAgain('acid', failed, { canonical: { kind: 'coolant-condition', appearance: 'clear' }, … }) // false
 */
export function isMeasuredAgain(finding: Finding, before: Judged, after: Judged): boolean {
  if (before.canonical.kind !== 'coolant-condition' || after.canonical.kind !== 'coolant-condition')
    return false;
  const measured = measuredIn(after.canonical);
  return whatFailed(finding, before.canonical, before.evaluation.computed).every((name) =>
    measured.has(name),
  );
}

function whatFailed(
  finding: Finding,
  reading: CoolantConditionReading,
  { findings }: Evaluation['computed'],
): string[] {
  switch (finding) {
    case 'oil':
    case 'dirt':
      return ['appearance'];
    case 'acid':
      return ['pH'];
    case 'worn-out':
      return ['reserveAlkalinityMl'];
    case 'laboratory-limit':
      return outsideOf(reading.laboratory ?? {}).map(limited);
    case 'inhibitors-off': {
      const codes = Array.isArray(findings) ? findings.map(String) : [];
      const fields = [
        ...codes.flatMap((code) => ADDITIVES[code] ?? []),
        ...outsideOf(reading.laboratory ?? {}).flatMap(known),
      ];
      return fields.length > 0 ? fields : [...measuredIn(reading)];
    }
    default:
      return [...measuredIn(reading)];
  }
}

/** The fields that are known, and the laboratory's values that came with limits. */
function measuredIn(reading: CoolantConditionReading): Set<string> {
  const values = reading.laboratory?.values ?? [];
  return new Set([
    ...FIELDS.filter((field) => reading[field] != null),
    ...values.flatMap(known),
    ...values.filter(({ min, max }) => min != null || max != null).map(limited),
  ]);
}

const limited = ({ name }: LaboratoryValue): string => `laboratory: ${name.trim().toLowerCase()}`;

function known(value: LaboratoryValue): KnownField[] {
  const field = knownFieldOf(value);
  return field === null ? [] : [field];
}
