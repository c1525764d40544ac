import { median } from '../statistics/median.js';
import { quantile } from '../statistics/quantile.js';
import { spansAbove } from './above-alarm.js';
import type { Span } from './above-alarm.js';
import type { DaySamples } from './samples.js';
import { warmUpMinutes } from './warm-up.js';

/** What a spec sheet says, as far as a day's figures go by it; null where it does not say, °C. */
export interface DayLimits {
  alarmC: number | null;
  thermostatOpensC: number | null;
}

/** What is kept of a day's coolant temperatures. */
export interface DayFigures {
  /** Minutes with a value. */
  samples: number;
  highestC: number;
  /** The 95th percentile of the warm values; null where there were too few. */
  hotC: number | null;
  /** Minutes with a value at or above the alarm; null without an alarm. */
  samplesAboveAlarm: number | null;
  /** Null without an alarm, and where the values lie too far apart to tell. */
  minutesAboveAlarm: number | null;
  /** From the first to the last value of the spans above the alarm; null: it did not overheat. */
  overheated: Span | null;
  warmUpMinutes: number | null;
  /** The middle and the longest time between neighbouring values; null for one value. */
  usualGapMinutes: number | null;
  largestGapMinutes: number | null;
}

/** Thermostats open at 70 °C and more, so an engine that runs is above; common practice. */
const WARM_C = 60;
/** Fewer warm values say nothing of a hot end; common practice. */
const LEAST_WARM = 5;
const HOT_END = 0.95;
/** Closer values show for how long the alarm was passed; common practice. */
const DENSE_MINUTES = 15;

/**
 * The figures of a day. They depend on its values alone, not on how these came.
 *
 * @param samples at least one
 * @example figuresOf({ minutes: [600, 610, 620], celsius: [90, 108, 109] }, { alarmC: 107, thermostatOpensC: 82 }).minutesAboveAlarm // 10
 */
export function figuresOf(samples: DaySamples, { alarmC, thermostatOpensC }: DayLimits): DayFigures {
  const { minutes, celsius } = samples;
  const warm = celsius.filter((value) => value >= WARM_C);
  const gaps = minutes.slice(1).map((minute, index) => minute - minutes[index]!);
  const usualGapMinutes = gaps.length === 0 ? null : median(gaps);
  const spans = alarmC === null ? [] : spansAbove(samples, alarmC);
  const isDense = usualGapMinutes !== null && usualGapMinutes <= DENSE_MINUTES;
  return {
    samples: minutes.length,
    highestC: celsius.reduce((highest, value) => Math.max(highest, value)),
    hotC: warm.length < LEAST_WARM ? null : quantile(warm, HOT_END),
    samplesAboveAlarm: alarmC === null ? null : celsius.filter((value) => value >= alarmC).length,
    minutesAboveAlarm: alarmC === null || !isDense ? null : lengthOf(spans),
    overheated: wholeOf(spans),
    warmUpMinutes: thermostatOpensC === null ? null : warmUpMinutes(samples, thermostatOpensC),
    usualGapMinutes,
    largestGapMinutes: gaps.length === 0 ? null : Math.max(...gaps),
  };
}

const lengthOf = (spans: readonly Span[]): number =>
  spans.reduce((sum, { from, until }) => sum + until - from, 0);

function wholeOf(spans: readonly Span[]): Span | null {
  const [first, last] = [spans.at(0), spans.at(-1)];
  return first === undefined || last === undefined ? null : { from: first.from, until: last.until };
}
