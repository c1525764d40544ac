import type { Evaluation } from '../../../domain/evaluation/evaluation.js';
import type { CalculatorsService } from '../calculators.service.js';

/** A worked example of one calculator. */
export interface CalculatorExample {
  title: string;
  request: object;
  evaluate: (calculators: CalculatorsService) => Evaluation;
}
