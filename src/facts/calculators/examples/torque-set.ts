import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const torqueSet: CalculatorExample = {
  title: 'A pump of twelve bolts at 89 lbf·in, of which eleven were posted',
  request: {
    torque: { value: 89, unit: 'in.lbf' },
    count: 12,
    unit: 'in.lbf',
    values: [89, 89, 89, 89, 89, 89, 89, 89, 89, 89, 89],
  },
  answer: {
    verdict: 'fail',
    reasons: ['1 of 12 is missing: tighten it now, before the vehicle leaves, and post all 12.'],
    computed: {
      torques: [
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
        { value: 10.05564978, unit: 'N.m' },
      ],
      outside: [],
      overTightened: [],
      missing: 1,
    },
    cautions: cautionsFor('fastening'),
    basis: ['89 lbf·in ±10 % (common practice)', "wrench's setting: simple acceptance"],
  },
};
