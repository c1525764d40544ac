import {
  type CombustionGasTestReading,
  evaluateCombustionGasTest,
} from '../../checks/combustion-gas-test.js';
import { onFailure, type SafetyKind } from '../contract/kind-of-reading.js';
import { message } from '../messages.js';

export const combustionGasTest: SafetyKind<CombustionGasTestReading, 'combustion-gas'> = {
  sheetValues: [],

  evaluate: (reading) => evaluateCombustionGasTest(reading),

  findings: onFailure('combustion-gas'),

  unsafe: {
    inWords: () => ({
      what: message('finding-combustion-gas'),
      until: message('settled-by-combustion-gas'),
    }),
  },
};
