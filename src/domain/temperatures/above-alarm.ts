import type { DaySamples } from './samples.js';

/** Some time of a day, in minutes since it began. */
export interface Span {
  from: number;
  until: number;
}

/**
 * Values further apart do not belong together: the engine may have cooled between them. Leaves room
 * for a source that sends one an hour; common practice, no published source.
 */
const TOGETHER_MINUTES = 75;

/**
 * A spike that lasts seconds falls into two minutes at most; common practice, no published source.
 */
const SPIKE_MINUTES = 1;

/**
 * When the coolant was at or above the alarm: from the first to the last of each row of
 * neighbouring values. A lone value, or one that a spike spread over two minutes, is none.
 *
 * Common practice, no published source.
 *
 * @param alarmC °C
 * @example spansAbove({ minutes: [0, 10, 20, 30], celsius: [90, 108, 109, 95] }, 107) // [{ from: 10, until: 20 }]
 */
export function spansAbove({ minutes, celsius }: DaySamples, alarmC: number): Span[] {
  const spans: Span[] = [];
  let open: Span | null = null;
  for (const [index, minute] of minutes.entries()) {
    if (celsius[index]! < alarmC) {
      open = null;
    } else if (open !== null && minute - open.until <= TOGETHER_MINUTES) {
      open.until = minute;
    } else {
      open = { from: minute, until: minute };
      spans.push(open);
    }
  }
  return spans.filter(({ from, until }) => until - from > SPIKE_MINUTES);
}
