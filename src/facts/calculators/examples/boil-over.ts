import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const boilOver: CalculatorExample = {
  title: '50 % ethylene glycol under a 15 psi cap at 1,500 m',
  request: {
    base: 'ethylene-glycol',
    strengthPercent: 50,
    capRating: { value: 15, unit: 'psi' },
    elevation: { value: 1500, unit: 'm' },
  },
  answer: {
    verdict: null,
    reasons: ['50 % ethylene glycol boils at 261 °F under a 15 psi cap at 4921 ft.'],
    computed: {
      boilsAt: { value: 127.1551121, unit: 'C' },
      absolutePressure: { value: 187.9810361, unit: 'kPa' },
    },
    cautions: cautionsFor('cooling-system'),
    basis: [
      'U.S. Standard Atmosphere 1976 at 4921 ft: 12.3 psi',
      "Raoult's law with the saturation line of water (IAPWS-IF97 region 4); 50 volume % = 52.4 mass %; good to ±2.7 °F",
    ],
  },
};
