import {
  type CalculatorName,
  CALCULATORS,
  COMPUTED,
} from '../../../src/facts/calculators/calculator-answers.js';
import { calculateBelt } from '../../../src/domain/belt/belt-check.js';
import { calculateBoilOver } from '../../../src/domain/coolant/boil-over.js';
import { calculateDilution } from '../../../src/domain/filling/dilution.js';
import { calculateFreezePoint } from '../../../src/domain/strength/freeze-point.js';
import type { Evaluation } from '../../../src/domain/evaluation/evaluation.js';
import { calculateTorqueSet } from '../../../src/domain/fastening/calculate-torque-set.js';
import { calculateProjection } from '../../../src/domain/intervals/calculate-projection.js';
import { evaluateHoldTest } from '../../../src/domain/pressure/hold-test.js';
import { calculateVacuumFill } from '../../../src/domain/pressure/vacuum-fill.js';

const EVALUATIONS: Record<CalculatorName, () => Evaluation> = {
  'hold-test': () =>
    evaluateHoldTest(
      { kind: 'hold-test', method: 'vacuum', startKpa: 74.5, endKpa: 73.5, minutes: 6, unit: 'inHg' },
      { elevationM: 1500, volumeL: 10 },
    ),
  'freeze-point': () =>
    calculateFreezePoint({
      ...{
        base: 'ethylene-glycol',
        scale: 'ethylene-glycol',
        method: 'refractometer',
        value: -36,
        unit: 'C',
      },
    }),
  dilution: () =>
    calculateDilution({
      ...{ capacityL: 12, strengthPercent: 30, refillStrengthPercent: 50, targetStrengthPercent: 40 },
    }),
  'boil-over': () => calculateBoilOver({ base: 'ethylene-glycol', strengthPercent: 50 }),
  'vacuum-fill': () => calculateVacuumFill({ vacuumKpa: 80, volumeL: 10, elevationM: 0 }),
  'torque-set': () => calculateTorqueSet({ torqueNm: 11, count: 2, unit: 'N.m', valuesNm: [11, 15] }),
  belt: () => calculateBelt({ designation: '6PK1880' }),
  projection: () =>
    calculateProjection({
      ...{ readings: [], rule: null, duty: 'normal', lastDone: null, timeZone: 'UTC', asOf: '2026-03-10' },
      unit: 'km',
    }),
};

it.each(CALCULATORS)('the %s calculator answers every value that its formula computes', (name) => {
  const { computed } = EVALUATIONS[name]();
  expect(Object.keys(COMPUTED[name]).sort()).toEqual(Object.keys(computed).sort());
});
