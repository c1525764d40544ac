import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const holdTest: CalculatorExample = {
  title: 'A vacuum of 22 inHg held for 6 minutes at 1,500 m, the engine cold',
  request: {
    method: 'vacuum',
    start: { value: 22, unit: 'inHg' },
    end: { value: 21.7, unit: 'inHg' },
    minutes: 6,
    gaugeResolution: { value: 0.5, unit: 'inHg' },
    elevation: { value: 1500, unit: 'm' },
    target: { value: 23, unit: 'inHg' },
    engineCold: true,
  },
  answer: {
    verdict: 'pass',
    reasons: ['Held: lost 0.3 inHg in 6 minutes; 0.8 inHg in 5 minutes is allowed.'],
    computed: {
      loss: { value: 1.015916592, unit: 'kPa' },
      temperatureCorrectedLoss: null,
      expandedUncertainty: { value: 1.977268399, unit: 'kPa' },
      ratePerMinute: { value: 0.169319432, unit: 'kPa' },
      allowedLossHere: { value: 2.826073808, unit: 'kPa' },
      leakRatePaM3PerS: null,
      standardCm3PerMin: null,
      atmosphere: { value: 84.55967669, unit: 'kPa' },
      greatestVacuum: { value: 84.55967669, unit: 'kPa' },
      targetHere: { value: 64.99969758, unit: 'kPa' },
      targetOnGauge: { value: 64.34138417, unit: 'kPa' },
      temperatureInDoubt: false,
      overPressured: false,
      lostTooMuch: false,
    },
    cautions: cautionsFor('vacuum-test'),
    basis: [
      'U.S. Standard Atmosphere 1976 at 4921 ft: 24.97 inHg',
      'allowed loss 1 inHg (common practice)',
      'held for 5 minutes (common practice)',
      'target 23 inHg at sea level, reduced with the air pressure (trade rule: 1 inHg per 1,000 ft)',
      'the loss allowed is reduced with the air pressure as the target is (choked flow)',
      'on this gauge: 19 inHg, of which 0.8 inHg may be lost in 5 minutes',
      'rate of loss against the allowed rate; u = resolution/√12 and reader/√12 per reading, and what the temperature may have done (JCGM 100); guard band of 2 u for a pass, 1.645 u for a fail (JCGM 106)',
    ],
  },
};
