import type { TopUpReading } from '../../../../domain/filling/top-up.js';
import { valueIn } from '../../../../domain/quantities/units.js';
import type { PostedKind } from '../posted-kind.js';
import { TopUpInput } from './top-up.dto.js';

export const topUp: PostedKind<TopUpInput, TopUpReading> = {
  input: TopUpInput,

  canonical: (input) => ({
    kind: 'top-up',
    addedL: valueIn(input.added, 'L'),
    toMark: input.toMark ?? null,
    strengthPercent: input.strengthPercent ?? null,
    base: input.base ?? null,
    technology: input.technology ?? null,
    tapWater: input.tapWater ?? null,
    planned: input.planned ?? null,
    unit: input.added.unit,
  }),
};
