import { type BeltTensionReading, evaluateBeltTension } from '../../belt/belt-tension.js';
import type { KindOfReading } from '../contract/kind-of-reading.js';
import { beltNamed } from './belt-check.js';

type Finding = 'belt-slack' | 'belt-tight' | 'belt-new';

export const beltTension: KindOfReading<BeltTensionReading, Finding> = {
  sheetValues: [],

  evaluate: (reading, { belts = [] }) =>
    evaluateBeltTension(reading, beltNamed(reading, belts)?.tension ?? null),

  // A new belt stretches and seats itself, so its tension is always checked again.
  findings: ({ newBelt }, { verdict, computed }) =>
    [
      ...(verdict === 'fail' ? [computed.tautOrSlack === 'tight' ? 'belt-tight' : 'belt-slack'] : []),
      ...(newBelt === true ? ['belt-new'] : []),
    ] as Finding[],
};
