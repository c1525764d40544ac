import type { VacuumFillCalculation } from '../calculator.dto.js';
import type { CalculatorExample } from './calculator-example.js';

const request: VacuumFillCalculation = {
  vacuum: { value: 24, unit: 'inHg' },
  volume: { value: 10, unit: 'L' },
  elevation: { value: 0, unit: 'm' },
};

export const vacuumFill: CalculatorExample = {
  title: 'Filling 10 L from a vacuum of 24 inHg at sea level',
  request,
  evaluate: (calculators) => calculators.vacuumFill(request),
};
