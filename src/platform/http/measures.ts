import { measure, type MeasureKind, MEASURES } from '../../domain/quantities/measures.js';
import type { Quantity, Unit } from '../../domain/quantities/units.js';

/**
 * A canonical value on its way out. It is typed as the quantity that the presenter will show in its place, so that an answer's
 * type says what the reader gets.
 */
export function shownMeasure(kind: MeasureKind, value: number): Quantity {
  return measure(kind, value) as unknown as Quantity;
}

/** As `shownMeasure`; null stays null. */
export function optionalMeasure(kind: MeasureKind, value: number | null): Quantity | null {
  return value === null ? null : shownMeasure(kind, value);
}

/** A stored value as it could have been posted: what a patch is applied to. Null stays null. */
export function optionalQuantity(kind: MeasureKind, value: number | null): Quantity | null {
  return value === null ? null : { value, unit: MEASURES[kind].canonical };
}

/** A rate a day with its limits, all in one unit: `{ value, unit, low, high }`. */
export interface ShownRate {
  value: number;
  unit: Unit;
  low: number;
  high: number;
}

/** A daily rate on its way out; the presenter shows its limits in the same unit. Null stays null. */
export function shownRate(
  kind: MeasureKind,
  rate: { perDay: number; low: number; high: number } | null,
): ShownRate | null {
  return rate === null
    ? null
    : ({ ...measure(kind, rate.perDay), low: rate.low, high: rate.high } as unknown as ShownRate);
}
