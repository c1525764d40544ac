import type { CoolantConditionReading } from '../../../../domain/coolant-condition/coolant-condition.js';
import type { PostedKind } from '../posted-kind.js';
import { CoolantConditionInput } from './coolant-condition.dto.js';

export const coolantCondition: PostedKind<CoolantConditionInput, CoolantConditionReading> = {
  input: CoolantConditionInput,

  canonical: (input) => ({
    kind: 'coolant-condition',
    pH: input.pH ?? null,
    nitriteMgPerL: input.nitriteMgPerL ?? null,
    molybdateMgPerL: input.molybdateMgPerL ?? null,
    scaUnitsPerGallon: input.scaUnitsPerGallon ?? null,
    reserveAlkalinityMl: input.reserveAlkalinityMl ?? null,
    appearance: input.appearance ?? null,
    strip: input.strip ?? null,
    laboratory: input.laboratory ?? null,
  }),
};
