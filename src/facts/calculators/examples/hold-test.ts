import type { HoldTestCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: HoldTestCalculation = {
  method: 'vacuum',
  start: { value: 22, unit: 'inHg' },
  end: { value: 21.7, unit: 'inHg' },
  minutes: 6,
  gaugeResolution: { value: 0.5, unit: 'inHg' },
  elevation: { value: 1500, unit: 'm' },
  target: { value: 23, unit: 'inHg' },
  engineCold: true,
};

export const holdTest: CalculatorExample = {
  title: 'A vacuum of 22 inHg held for 6 minutes at 1,500 m, the engine cold',
  request,
  evaluate: (calculators) => calculators.holdTest(request),
};
