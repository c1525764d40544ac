import { told, type Told } from '../quantities/told.js';
import type { Counter } from './types.js';

/** Kilometres in a statute mile: the factor by which a reading in the wrong unit is out. */
export const KM_PER_MILE = 1.609344;

/**
 * What one counter may do between two readings, in km or h. All common practice; 24 h a day is the
 * clock's own limit.
 */
export interface CounterLimits {
  counter: Counter;
  /**
   * A reading may be this much lower than the one before it: rounding, a figure misread by a
   * little.
   */
  backSlack: number;
  perDay: number;
  aheadSlack: number;
  /** More a day than this is possible but so rare that a unit slip is the likelier reading. */
  ordinaryPerDay: number;
  /**
   * How far two distances between sources may differ and still count as one offset, besides a
   * quarter of the distance run between them.
   */
  offsetSlack: number;
  /** Whether the counter may be typed in miles for kilometres. */
  hasUnitSlip: boolean;
}

export const ODOMETER_LIMITS: CounterLimits = {
  counter: 'odometer',
  backSlack: 5,
  perDay: 2400,
  aheadSlack: 5,
  ordinaryPerDay: 500,
  offsetSlack: 100,
  hasUnitSlip: true,
};

export const ENGINE_HOURS_LIMITS: CounterLimits = {
  counter: 'engine-hours',
  backSlack: 0.5,
  perDay: 24,
  aheadSlack: 0.5,
  ordinaryPerDay: 12,
  offsetSlack: 3,
  hasUnitSlip: false,
};

/**
 * A counter value for a message, to the tenth.
 *
 * @param value km or h
 * @param rounding 'down' for what must not be passed
 * @example counterTold(ODOMETER_LIMITS, 160.9344) // in words, for a reader of miles: '100 mi'
 */
export function counterTold(
  { counter }: CounterLimits,
  value: number,
  rounding: 'tenths' | 'down' = 'tenths',
): Told {
  return counter === 'odometer'
    ? told('distance', value, 'km', rounding)
    : told('engine-hours', value, 'h', rounding);
}
