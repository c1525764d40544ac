import type { LevelCheckReading } from '../../../../domain/checks/level-check.js';
import { litres } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { LevelCheckInput } from './level-check.dto.js';

export const levelCheck: PostedKind<LevelCheckInput, LevelCheckReading> = {
  input: LevelCheckInput,

  canonical: (input) => ({
    kind: 'level-check',
    level: input.level ?? null,
    belowMarkL: litres(input.belowMark),
    engineCold: input.engineCold ?? null,
    unit: input.belowMark?.unit ?? 'L',
  }),

  fields: { level: '/level' },
};
