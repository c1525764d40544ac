import {
  type CombustionGasTestReading,
  evaluateCombustionGasTest,
} from '../../checks/combustion-gas-test.js';
import { onFailure, type SafetyKind } from '../contract/kind-of-reading.js';

export const combustionGasTest: SafetyKind<CombustionGasTestReading, 'combustion-gas'> = {
  evaluate: (reading) => evaluateCombustionGasTest(reading),

  findings: onFailure('combustion-gas'),

  unsafe: {
    inWords: () => ({
      what: 'positive combustion-gas test',
      until: 'the leak into the coolant is found and mended, and the test is clear',
    }),
  },
};
