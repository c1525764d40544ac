import { DIVISIONS } from './divisions.js';
import type { Unit } from './units.js';

/** 'down' for what must not be passed, 'up' for what must be reached. */
export type Rounding = 'nearest' | 'down' | 'up';

/**
 * Smaller pressures and distances are shown to a tenth; from this size on, so are their limits in
 * psi and inHg.
 */
const FINE_BELOW = 10;
const FINE_UNITS: readonly Unit[] = ['psi', 'inHg', 'kPa', 'mi', 'km'];
const FINE_LIMITS: readonly Unit[] = ['psi', 'inHg'];
/** People type no more decimals than this; a value with more was computed. */
const TYPED_DECIMALS = 2;
/** Thermometers, strengths and the limits in texts have no more decimals than this. */
const COARSE_DECIMALS = 1;
const COARSE_UNITS: readonly Unit[] = ['C', 'F', '%'];
/** A value that was converted back and forth may be off its mark by a last digit. */
const NOISE = 1e-6;

/**
 * A value rounded to what a person can measure. What has few decimals was typed, and stays; what
 * would round to nothing keeps its first digit.
 *
 * @param value in `unit`
 * @example roundedToRead(19.28468, 'qt', 'nearest') // 19.5
 * @example roundedToRead(19.28468, 'qt', 'down') // 19
 */
export function roundedToRead(value: number, unit: Unit, rounding: Rounding): number {
  const isCoarse = COARSE_UNITS.includes(unit) || rounding !== 'nearest';
  const decimals = isCoarse ? COARSE_DECIMALS : TYPED_DECIMALS;
  const division = divisionOf(unit, Math.abs(value), rounding);
  if (division === null || hasFewDecimals(value, decimals)) return value;
  const divisions = value / division;
  const whole =
    rounding === 'down'
      ? Math.floor(divisions + NOISE)
      : rounding === 'up'
        ? Math.ceil(divisions - NOISE)
        : Math.round(divisions);
  const isDegrees = unit === 'C' || unit === 'F';
  if (whole === 0) return isDegrees ? 0 : Number(value.toPrecision(1));
  return Number((whole * division).toFixed(1));
}

function divisionOf(unit: Unit, size: number, rounding: Rounding): number | null {
  const division = DIVISIONS[unit] ?? null;
  const isFine = size < FINE_BELOW ? FINE_UNITS : rounding === 'nearest' ? [] : FINE_LIMITS;
  return isFine.includes(unit) ? 0.1 : division;
}

function hasFewDecimals(value: number, decimals: number): boolean {
  const scaled = value * 10 ** decimals;
  return Math.abs(scaled - Math.round(scaled)) <= NOISE;
}
