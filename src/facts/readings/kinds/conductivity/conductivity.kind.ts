import type { ConductivityReading } from '../../../../domain/coolant-condition/conductivity.js';
import { celsius } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { ConductivityInput } from './conductivity.dto.js';

export const conductivity: PostedKind<ConductivityInput, ConductivityReading> = {
  input: ConductivityInput,

  canonical: (input) => ({
    kind: 'conductivity',
    conductivityUsPerCm: input.conductivityUsPerCm,
    sampleTemperatureC: celsius(input.sampleTemperature),
    compensatedTo25C: input.compensatedTo25C ?? null,
    unit: input.sampleTemperature?.unit,
  }),
};
