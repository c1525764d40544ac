import type { FreezePointCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: FreezePointCalculation = {
  base: 'ethylene-glycol',
  scale: 'ethylene-glycol',
  method: 'refractometer',
  value: { value: -36, unit: 'C' },
  designLowTemperature: { value: -30, unit: 'C' },
};

export const freezePoint: CalculatorExample = {
  title: 'A refractometer shows −36 °C; winters go down to −30 °C',
  request,
  evaluate: (calculators) => calculators.freezePoint(request),
};
