import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const freezePoint: CalculatorExample = {
  title: 'A refractometer shows −36 °C where the winter goes to −30 °C',
  request: {
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'refractometer',
    value: { value: -36, unit: 'C' },
    designLowTemperature: { value: -30, unit: 'C' },
  },
  answer: {
    verdict: 'pass',
    reasons: ['Read as -36 °C, 49.5 volume %.'],
    computed: {
      freezePoint: { value: -36, unit: 'C' },
      strengthVolumePercent: 49.29230769,
      strengthMassPercent: 51.69230769,
      table:
        'ASHRAE Handbook Fundamentals 2001, freezing points of ethylene glycol and water, linear interpolation',
      beyondTable: false,
    },
    cautions: cautionsFor('coolant-sample'),
    basis: [
      'ASHRAE Handbook Fundamentals 2001, freezing points of ethylene glycol and water, linear interpolation',
      'uncertainty of a refractometer ±1 °C (k = 2), ASTM D3321',
      'margin 3 °C below the lowest temperature (common practice)',
      'at least 40 volume % (ASTM D6210), at most 60 volume % (ASTM D6210)',
    ],
  },
};
