import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { convert, type Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** How long the samples of a day are kept after it. Afterwards its figures no longer change. */
export const SAMPLES_KEPT_DAYS = 30;

/**
 * The coolant temperatures of one day, in order of time. A minute counts once, by the highest
 * value that was read in it.
 */
export interface DaySamples {
  /** Whole minutes since the day began in the fleet's zone. */
  minutes: readonly number[];
  /** °C, one for each of the minutes. */
  celsius: readonly number[];
}

/**
 * SAE J1939-71, SPN 110: one byte, 1 °C a bit from −40 °C. So a byte of zeros, which an open sensor
 * circuit gives, reads −40 °C; 211 to 215 °C mean an error or that there is no value.
 */
const OPEN_CIRCUIT_C = -40;
/** Hotter than coolant gets under any cap; common practice, no published source. */
const MOST_C = 150;

/**
 * Why a coolant temperature says nothing about the coolant; null where it may be true.
 *
 * @param unit as it was typed, or as a source declares it
 * @example sampleFault(-40, 'C')?.code // 'temperature-sample-open'
 * @example sampleFault(98, 'C') // null
 */
export function sampleFault(celsius: number, unit: Unit = 'C'): Message | null {
  const temperature = told('temperature', celsius, unit, 'exact');
  if (celsius <= OPEN_CIRCUIT_C) return message('temperature-sample-open', { temperature });
  if (celsius <= MOST_C) return null;
  const isFahrenheit = unit === 'C' && convert(celsius, 'F', 'C') <= MOST_C;
  return message('temperature-sample-impossible', {
    temperature,
    most: told('temperature', MOST_C, unit, 'exact'),
    meant: isFahrenheit ? 'fahrenheit' : 'unknown',
    typed: celsius,
  });
}

/** One value, and the minute of its day. */
export interface SampleOfDay {
  minute: number;
  celsius: number;
}

/**
 * Adds values to those of a day. The order in which they come makes no difference.
 *
 * @returns null if everything was known already
 * @example withSamples({ minutes: [5], celsius: [80] }, [{ minute: 5, celsius: 82 }]) // { minutes: [5], celsius: [82] }
 */
export function withSamples(known: DaySamples, added: readonly SampleOfDay[]): DaySamples | null {
  const byMinute = new Map(known.minutes.map((minute, index) => [minute, known.celsius[index]!]));
  let isChanged = false;
  for (const { minute, celsius } of added) {
    const before = byMinute.get(minute);
    if (before !== undefined && before >= celsius) continue;
    byMinute.set(minute, celsius);
    isChanged = true;
  }
  if (!isChanged) return null;
  const minutes = [...byMinute.keys()].sort((a, b) => a - b);
  return { minutes, celsius: minutes.map((minute) => byMinute.get(minute)!) };
}
