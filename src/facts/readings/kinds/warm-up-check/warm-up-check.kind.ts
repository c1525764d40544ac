import type { WarmUpCheckReading } from '../../../../domain/checks/warm-up-check.js';
import type { PostedKind } from '../posted-kind.js';
import { WarmUpCheckInput } from './warm-up-check.dto.js';

export const warmUpCheck: PostedKind<WarmUpCheckInput, WarmUpCheckReading> = {
  input: WarmUpCheckInput,

  canonical: (input) => ({
    kind: 'warm-up-check',
    heatAtVents: input.heatAtVents ?? null,
    fanCycled: input.fanCycled ?? null,
    thermostatOpened: input.thermostatOpened ?? null,
    temperatureSteady: input.temperatureSteady ?? null,
    leakSeen: input.leakSeen ?? null,
    levelAfterCooling: input.levelAfterCooling ?? null,
  }),
};
