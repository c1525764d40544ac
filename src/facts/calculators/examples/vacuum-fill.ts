import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const vacuumFill: CalculatorExample = {
  title: 'Filling 10 L from a vacuum of 24 inHg at sea level',
  request: {
    vacuum: { value: 24, unit: 'inHg' },
    volume: { value: 10, unit: 'L' },
    elevation: { value: 0, unit: 'm' },
  },
  answer: {
    verdict: null,
    reasons: [
      '20 % of the evacuated space stays air.',
      'The system draws in about 8 L; top up to the mark before starting the engine: up to 2 L.',
    ],
    computed: {
      airLeftFraction: 0.1978946226,
      expectedUptake: { value: 8.021053774, unit: 'L' },
      topUpBeforeStart: { value: 1.978946226, unit: 'L' },
      greatestVacuum: { value: 101.325, unit: 'kPa' },
    },
    cautions: cautionsFor('filling'),
    basis: [
      'U.S. Standard Atmosphere 1976 at 0 ft: 29.92 inHg',
      "air left = 1 - vacuum / air pressure (Boyle's law, constant temperature)",
    ],
  },
};
