import type { HoldTestReading } from '../../../../domain/pressure/hold-test-reading.js';
import { valueIn } from '../../../../domain/quantities/units.js';
import { celsius, kpa } from '../canonical-values.js';
import type { PostedKind } from '../posted-kind.js';
import { HoldTestInput } from './hold-test.dto.js';

export const holdTest: PostedKind<HoldTestInput, HoldTestReading> = {
  input: HoldTestInput,

  canonical: (input) => ({
    kind: 'hold-test',
    method: input.method,
    startKpa: valueIn(input.start, 'kPa'),
    endKpa: valueIn(input.end, 'kPa'),
    minutes: input.minutes,
    unit: input.start.unit,
    gaugeResolutionKpa: kpa(input.gaugeResolution),
    coolantTemperatureC: celsius(input.coolantTemperature),
    engineCold: input.engineCold ?? null,
    wet: input.wet ?? null,
    startTemperatureC: celsius(input.startTemperature),
    endTemperatureC: celsius(input.endTemperature),
    temperatureUnit: (input.startTemperature ?? input.endTemperature ?? input.coolantTemperature)?.unit,
    barometerKpa: kpa(input.barometer),
  }),
};
