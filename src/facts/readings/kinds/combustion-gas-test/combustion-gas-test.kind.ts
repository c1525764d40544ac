import type { CombustionGasTestReading } from '../../../../domain/checks/combustion-gas-test.js';
import type { PostedKind } from '../posted-kind.js';
import { CombustionGasTestInput } from './combustion-gas-test.dto.js';

export const combustionGasTest: PostedKind<CombustionGasTestInput, CombustionGasTestReading> = {
  input: CombustionGasTestInput,

  canonical: (input) => ({
    kind: 'combustion-gas-test',
    positive: input.positive,
    engineHot: input.engineHot ?? null,
    underLoad: input.underLoad ?? null,
  }),
};
