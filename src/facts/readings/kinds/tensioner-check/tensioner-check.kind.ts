import type { TensionerCheckReading } from '../../../../domain/belt/tensioner-check.js';
import { millimetres } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { TensionerCheckInput } from './tensioner-check.dto.js';

export const tensionerCheck: PostedKind<TensionerCheckInput, TensionerCheckReading> = {
  input: TensionerCheckInput,

  canonical: (input) => ({
    kind: 'tensioner-check',
    item: input.item ?? null,
    mark: input.mark ?? null,
    armSwingMm: millimetres(input.armSwing),
    armMovesFreely: input.armMovesFreely ?? null,
    pulleyRunsTrue: input.pulleyRunsTrue ?? null,
    unit: input.armSwing?.unit,
  }),
};
