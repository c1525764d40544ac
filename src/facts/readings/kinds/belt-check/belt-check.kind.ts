import type { BeltCheckReading } from '../../../../domain/belt/belt-check.js';
import { millimetres } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { BeltCheckInput } from './belt-check.dto.js';

export const beltCheck: PostedKind<BeltCheckInput, BeltCheckReading> = {
  input: BeltCheckInput,

  canonical: (input) => ({
    kind: 'belt-check',
    item: input.item ?? null,
    ribsSeated: input.ribsSeated ?? null,
    pulleys: input.pulleys?.map(({ name, ribsSeated }) => ({ name, ribsSeated })) ?? null,
    offsetMm: millimetres(input.offset),
    spanMm: millimetres(input.span),
    driverDiameterMm: millimetres(input.driverDiameter),
    drivenDiameterMm: millimetres(input.drivenDiameter),
    driverRpm: input.driverRpm ?? null,
    drivenRpm: input.drivenRpm ?? null,
    wearGauge: input.wearGauge ?? null,
    tensionerInRange: input.tensionerInRange ?? null,
    contaminated: input.contaminated ?? null,
    unit: (input.offset ?? input.span)?.unit,
  }),
};
