import type { CapTestReading } from '../../../../domain/checks/cap-test.js';
import { kpa } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { CapTestInput } from './cap-test.dto.js';

export const capTest: PostedKind<CapTestInput, CapTestReading> = {
  input: CapTestInput,

  canonical: (input) => ({
    kind: 'cap-test',
    opensAtKpa: kpa(input.opensAt),
    holdsAtKpa: kpa(input.holdsAt),
    vacuumValveOk: input.vacuumValveOk ?? null,
    unit: (input.opensAt ?? input.holdsAt)?.unit ?? 'kPa',
  }),
};
