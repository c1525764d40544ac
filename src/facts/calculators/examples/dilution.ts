import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const dilution: CalculatorExample = {
  title: '10 qt at 30 %, to be brought to 65 % with concentrate',
  request: {
    capacity: { value: 10, unit: 'qt' },
    strengthPercent: 30,
    refillStrengthPercent: 100,
    targetStrengthPercent: 65,
  },
  answer: {
    verdict: null,
    reasons: ['Drain 5 qt of 10 qt and replace it with 100 %: 65 % once mixed.'],
    computed: { drain: { value: 4.73176473, unit: 'L' }, resultStrengthPercent: 65 },
    cautions: cautionsFor('filling'),
    basis: ['x = V·(C_t - C_0)/(C_r - C_0), strengths by volume, volumes taken as additive'],
  },
};
