import type { UnitSystem } from '../quantities/measures.js';
import { inSystem } from '../quantities/measures.js';
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
   * How far apart two distances between sources may lie and still be one offset, beside a quarter
   * of what was run between.
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

/** A counter value in words, in the reader's units. @example inWords(ODOMETER_LIMITS, 160.9344, 'us') // '100 mi' */
export function inWords(
  limits: CounterLimits,
  value: number,
  units: UnitSystem,
  rounding: 'tenth' | 'whole' = 'tenth',
): string {
  const shown = inSystem(limits.counter === 'odometer' ? 'distance' : 'engine-hours', value, units);
  // A value converted there and back lies a last digit below the whole number that it stands on.
  const told = rounding === 'whole' ? Math.floor(shown.value + 1e-6) : shown.value;
  return `${formatNumber(told)} ${shown.unit}`;
}

/** Grouped in thousands, one decimal at most. @example formatNumber(61250.04) // '61,250' */
export function formatNumber(value: number): string {
  const [whole, decimal] = Math.abs(value).toFixed(1).split('.');
  const grouped = whole!.replace(/\B(?=(\d{3})+$)/g, ',');
  const sign = value < 0 && (whole !== '0' || decimal !== '0') ? '−' : '';
  return `${sign}${grouped}${decimal === '0' ? '' : `.${decimal}`}`;
}
