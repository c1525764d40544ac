import type { FreezePointReading } from '../../../../domain/strength/freeze-point.js';
import { FREEZE_POINT_UNITS } from '../../../../domain/strength/freeze-point-value.js';
import { valueIn } from '../../../../domain/quantities/units.js';
import type { PostedKind } from '../posted-kind.js';
import { FreezePointInput } from './freeze-point.dto.js';

export const freezePoint: PostedKind<FreezePointInput, FreezePointReading> = {
  input: FreezePointInput,

  canonical: (input) => ({
    kind: 'freeze-point',
    base: input.base ?? null,
    scale: input.scale ?? null,
    strip: input.strip ?? null,
    method: input.method,
    value: valueIn(input.value, FREEZE_POINT_UNITS[input.method]),
    unit: input.value.unit,
  }),

  fields: { 'freeze point': '/value', 'refractive index': '/value', Brix: '/value' },
};
