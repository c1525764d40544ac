import type { DilutionCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: DilutionCalculation = {
  capacity: { value: 10, unit: 'qt' },
  strengthPercent: 30,
  refillStrengthPercent: 100,
  targetStrengthPercent: 65,
};

export const dilution: CalculatorExample = {
  title: '10 qt at 30 %, to be brought to 65 % with concentrate',
  request,
  evaluate: (calculators) => calculators.dilution(request),
};
