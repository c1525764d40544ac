import type { BoilOverCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: BoilOverCalculation = {
  base: 'ethylene-glycol',
  strengthPercent: 50,
  capRating: { value: 15, unit: 'psi' },
  elevation: { value: 1500, unit: 'm' },
};

export const boilOver: CalculatorExample = {
  title: '50 % ethylene glycol under a 15 psi cap at 1,500 m',
  request,
  evaluate: (calculators) => calculators.boilOver(request),
};
