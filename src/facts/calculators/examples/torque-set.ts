import type { TorqueSetCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: TorqueSetCalculation = {
  torque: { value: 89, unit: 'in.lbf' },
  count: 12,
  unit: 'in.lbf',
  values: [89, 89, 89, 89, 89, 89, 89, 89, 89, 89, 89],
};

export const torqueSet: CalculatorExample = {
  title: 'A pump of twelve bolts at 89 lbf·in, of which eleven were posted',
  request,
  evaluate: (calculators) => calculators.torqueSet(request),
};
