import type { BeltCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: BeltCalculation = {
  designation: '6PK1880',
  offset: { value: 0.5, unit: 'mm' },
  span: { value: 220, unit: 'mm' },
  driverDiameter: { value: 150, unit: 'mm' },
  drivenDiameter: { value: 100, unit: 'mm' },
  driverRpm: 1000,
  drivenRpm: 1455,
};

export const belt: CalculatorExample = {
  title: 'A 6PK1880 belt, half a millimetre out of line over 220 mm',
  request,
  evaluate: (calculators) => calculators.belt(request),
};
