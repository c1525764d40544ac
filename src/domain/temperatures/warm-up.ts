import type { DaySamples } from './samples.js';

/**
 * From here a warm-up is timed: above any weather, so that a start in the cold and one in the warm
 * compare; common practice, no published source.
 */
const FROM_C = 40;

/**
 * An engine counts as warm this much below where its thermostat begins to open. From memory of 13
 * CCR 1968.2 (e)(10), by which the thermostat's monitor asks for 20 °F below its temperature.
 */
const WARM_BELOW_K = 11;

/** Values further apart do not show when a temperature was passed; common practice. */
const CLOSE_MINUTES = 5;

/**
 * How long the coolant took from 40 °C until it was warm, at the day's first cold start, in
 * minutes.
 *
 * @param opensC where the thermostat begins to open, °C
 * @returns null without a cold start, or with values more than five minutes apart during it
 * @example warmUpMinutes({ minutes: [0, 4, 8, 12], celsius: [20, 40, 60, 80] }, 85) // 6.8, from 4 to 10.8
 */
export function warmUpMinutes({ minutes, celsius }: DaySamples, opensC: number): number | null {
  const warmC = opensC - WARM_BELOW_K;
  if (warmC <= FROM_C) return null;
  let startedAt: number | null = null;
  for (let index = 1; index < minutes.length; index++) {
    const [before, after] = [celsius[index - 1]!, celsius[index]!];
    const at = (levelC: number): number =>
      minutes[index - 1]! + ((levelC - before) / (after - before)) * (minutes[index]! - minutes[index - 1]!);
    const isClose = minutes[index]! - minutes[index - 1]! <= CLOSE_MINUTES;
    if (!isClose || after < FROM_C) startedAt = null;
    else if (before <= FROM_C && after > FROM_C) startedAt = at(FROM_C);
    if (startedAt !== null && before < warmC && after >= warmC) return at(warmC) - startedAt;
  }
  return null;
}
