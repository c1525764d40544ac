import { cautionsFor } from '../../../domain/cautions/cautions.js';
import type { CalculatorExample } from './calculator-example.js';

export const belt: CalculatorExample = {
  title: 'A 6PK1880 belt, half a millimetre out of line over 220 mm',
  request: {
    designation: '6PK1880',
    offset: { value: 0.5, unit: 'mm' },
    span: { value: 220, unit: 'mm' },
    driverDiameter: { value: 150, unit: 'mm' },
    drivenDiameter: { value: 100, unit: 'mm' },
    driverRpm: 1000,
    drivenRpm: 1455,
  },
  answer: {
    verdict: 'pass',
    reasons: ['In line: 0.13°, at most 0.33°.', 'The belt slips 3 %; there is no limit to judge slip by.'],
    computed: {
      ribs: 6,
      effectiveLength: { value: 1880, unit: 'mm' },
      width: { value: 21.36, unit: 'mm' },
      alignmentDegrees: 0.1302174565,
      slipPercent: 3,
    },
    cautions: cautionsFor('belt-drive'),
    basis: [
      'PK profile: ribs 3.56 mm apart, effective length in mm (ISO 9981, ISO 9982)',
      'alignment = atan(offset/span), limit 0.58 mm in 100 mm = 0.33° (SAE J1596)',
      'slip = 100·(1 - N2·d2/(N1·d1))',
    ],
  },
};
