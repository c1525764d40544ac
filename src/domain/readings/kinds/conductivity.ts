import { type ConductivityReading, evaluateConductivity } from '../../coolant-condition/conductivity.js';
import { type KindOfReading, onFailure } from '../contract/kind-of-reading.js';

export const conductivity: KindOfReading<ConductivityReading, 'conductive'> = {
  sheetValues: ['coolantCondition'],

  evaluate: (reading, { conditionLimits }) =>
    evaluateConductivity(reading, conditionLimits?.conductivityMaxUsPerCm ?? null),

  findings: onFailure('conductive'),
};
