import {
  type CoolantConditionReading,
  evaluateCoolantCondition,
} from '../../coolant-condition/coolant-condition.js';
import { areAdditivesAlone } from '../../coolant-condition/laboratory-report.js';
import type { Evaluation } from '../../evaluation/evaluation.js';
import { findingsByCode } from '../contract/computed-values.js';
import type { KindOfReading } from '../contract/kind-of-reading.js';

type Finding =
  'oil' | 'dirt' | 'acid' | 'inhibitors-off' | 'worn-out' | 'laboratory-limit' | 'condition-failed';

/** Finding by each code that the rule computes. */
const BY_CODE: Readonly<Record<string, Finding>> = {
  oil: 'oil',
  rust: 'dirt',
  particles: 'dirt',
  'ph-acid': 'acid',
  'ph-low': 'inhibitors-off',
  'ph-high': 'inhibitors-off',
  'nitrite-low': 'inhibitors-off',
  'nitrite-high': 'inhibitors-off',
  'molybdate-low': 'inhibitors-off',
  'molybdate-high': 'inhibitors-off',
  'sca-low': 'inhibitors-off',
  'sca-high': 'inhibitors-off',
  'reserve-alkalinity-low': 'worn-out',
  'laboratory-limit': 'laboratory-limit',
};

export const coolantCondition: KindOfReading<CoolantConditionReading, Finding> = {
  sheetValues: ['coolantTechnology', 'capacityL', 'additive', 'coolantCondition'],

  evaluate: (reading, by) =>
    evaluateCoolantCondition(reading, {
      technology: by.coolant?.technology,
      heavyDuty: by.heavyDuty,
      wetLiners: by.wetLiners,
      limits: by.conditionLimits,
      additive: by.coolant?.additive,
      capacityL: by.coolant?.capacityL,
      takenOn: by.takenOn,
      practice: by.practice,
    }),

  findings: (reading, { verdict, computed }) => (verdict === 'fail' ? failuresOf(reading, computed) : []),
};

// What a laboratory found outside its limits is mended by an additive where it is one of the
// inhibitors, else by a flush.
function failuresOf(reading: CoolantConditionReading, { findings }: Evaluation['computed']): Finding[] {
  const found = findingsByCode(findings, BY_CODE) ?? byAppearance(reading);
  if (reading.laboratory == null || !areAdditivesAlone(reading.laboratory)) return found;
  return found.map((finding) => (finding === 'laboratory-limit' ? 'inhibitors-off' : finding));
}

function byAppearance({ appearance }: CoolantConditionReading): Finding[] {
  if (appearance === 'oily') return ['oil'];
  if (appearance === 'rusty' || appearance === 'particles') return ['dirt'];
  return ['condition-failed'];
}
