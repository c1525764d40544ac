import type { BeltTensionReading } from '../../../../domain/belt/belt-tension.js';
import { millimetres, newtons } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { BeltTensionInput } from './belt-tension.dto.js';

export const beltTension: PostedKind<BeltTensionInput, BeltTensionReading> = {
  input: BeltTensionInput,

  canonical: (input) => ({
    kind: 'belt-tension',
    item: input.item ?? null,
    newBelt: input.newBelt ?? null,
    frequencyHz: input.frequencyHz ?? null,
    deflectionMm: millimetres(input.deflection),
    forceN: newtons(input.force),
    spanMm: millimetres(input.span),
    unit: (input.deflection ?? input.span)?.unit,
  }),
};
