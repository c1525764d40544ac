import {
  inSystem,
  measure,
  type MeasureKind,
  MEASURES,
  type UnitSystem,
} from '../../domain/quantities/measures.js';
import type { Quantity, Unit } from '../../domain/quantities/units.js';

/**
 * A canonical value on its way out. It is typed as the quantity that the presenter will show in
 * its place, so that an answer's type says what the reader gets.
 */
export function shownMeasure(kind: MeasureKind, value: number): Quantity {
  return measure(kind, value) as unknown as Quantity;
}

/** As `shownMeasure`; null stays null. */
export function optionalMeasure(kind: MeasureKind, value: number | null): Quantity | null {
  return value === null ? null : shownMeasure(kind, value);
}

/**
 * Ten significant digits: hides what binary fractions add to 61250 mi, and nothing that was
 * measured.
 */
export function rounded(value: number): number {
  return Number.isInteger(value) && Math.abs(value) < 1e10 ? value : Number(value.toPrecision(10));
}

/**
 * Puts a canonical value on its way out: for the presenter to show, or in the reader's units right
 * away. Null stays null.
 */
export type Showing = (kind: MeasureKind, value: number | null) => Quantity | null;

/**
 * Shows measures in the reader's units right away, for answers of many that the presenter need not
 * go through (`IN_READERS_UNITS`).
 */
export function shownIn(units: UnitSystem): Showing {
  return (kind, value) => {
    if (value === null) return null;
    const quantity = inSystem(kind, value, units);
    return { value: rounded(quantity.value), unit: quantity.unit };
  };
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

/**
 * A daily rate on its way out; the presenter shows its limits in the same unit. Null stays null.
 */
export function shownRate(
  kind: MeasureKind,
  rate: { perDay: number; low: number; high: number } | null,
): ShownRate | null {
  return rate === null
    ? null
    : ({ ...measure(kind, rate.perDay), low: rate.low, high: rate.high } as unknown as ShownRate);
}
