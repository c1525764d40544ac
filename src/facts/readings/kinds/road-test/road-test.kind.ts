import type { RoadTestReading } from '../../../../domain/checks/road-test.js';
import { canonicalOf } from '../../../../domain/quantities/given.js';
import { celsius } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { RoadTestInput } from './road-test.dto.js';

export const roadTest: PostedKind<RoadTestInput, RoadTestReading> = {
  input: RoadTestInput,

  canonical: (input) => ({
    kind: 'road-test',
    minutes: input.minutes ?? null,
    distanceKm: canonicalOf('distance', input.distance),
    highestCoolantTemperatureC: celsius(input.highestCoolantTemperature),
    warningLamp: input.warningLamp ?? null,
    leakSeen: input.leakSeen ?? null,
    unit: input.highestCoolantTemperature?.unit,
    distanceUnit: input.distance?.unit,
  }),
};
