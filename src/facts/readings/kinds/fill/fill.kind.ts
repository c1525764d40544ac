import type { FillReading } from '../../../../domain/filling/fill.js';
import { valueIn } from '../../../../domain/quantities/units.js';
import { litres } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { FillInput } from './fill.dto.js';

export const fill: PostedKind<FillInput, FillReading> = {
  input: FillInput,

  canonical: (input) => ({
    kind: 'fill',
    drainedL: litres(input.drained),
    cameInLow: input.cameInLow ?? null,
    addedL: valueIn(input.added, 'L'),
    toppedUpToMark: input.toppedUpToMark ?? null,
    strengthPercent: input.strengthPercent ?? null,
    base: input.base ?? null,
    technology: input.technology ?? null,
    product: input.product ?? null,
    stayedStrengthPercent: input.stayedStrengthPercent ?? null,
    tapWater: input.tapWater ?? null,
    unit: input.added.unit,
  }),
};
