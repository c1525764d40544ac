import type { DilutionCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: DilutionCalculation = {
  capacity: { value: 10, unit: 'qt' },
  strengthPercent: 30,
  refillStrengthPercent: 100,
  targetStrengthPercent: 65,
};

export const dilution: CalculatorExample = {
  title: 'Bring 10 qt from 30 % to 65 % with concentrate',
  request,
  evaluate: (calculators) => calculators.dilution(request),
};
