import {
  inSystem,
  measure,
  type MeasureKind,
  MEASURES,
  type UnitSystem,
} from '../../domain/quantities/measures.js';
import type { Quantity, Unit } from '../../domain/quantities/units.js';

/**
 * Marks a canonical value for the presenter. It is typed as the quantity that the presenter will
 * put in its place, so that the type of an answer is what the reader gets.
 */
export function shownMeasure(kind: MeasureKind, value: number): Quantity {
  return measure(kind, value) as unknown as Quantity;
}

/** Like `shownMeasure`; null stays null. */
export function optionalMeasure(kind: MeasureKind, value: number | null): Quantity | null {
  return value === null ? null : shownMeasure(kind, value);
}

/**
 * Rounds to ten significant digits. This hides binary rounding errors (61250 mi stays 61250 mi) and
 * loses nothing that was measured.
 */
export function rounded(value: number): number {
  return Number.isInteger(value) && Math.abs(value) < 1e10 ? value : Number(value.toPrecision(10));
}

/**
 * Prepares a canonical value for an answer: leaves it to the presenter, or converts it to the
 * reader's units at once. Null stays null.
 */
export type Showing = (kind: MeasureKind, value: number | null) => Quantity | null;

/**
 * Returns a function that converts measures at once, for long answers that skip the presenter
 * (`IN_READERS_UNITS`).
 */
export function shownIn(units: UnitSystem): Showing {
  return (kind, value) => {
    if (value === null) return null;
    const quantity = inSystem(kind, value, units);
    return { value: rounded(quantity.value), unit: quantity.unit };
  };
}

/**
 * Turns a stored value into a quantity as it could have been posted, for a patch to be applied to.
 * Null stays null.
 */
export function optionalQuantity(kind: MeasureKind, value: number | null): Quantity | null {
  return value === null ? null : { value, unit: MEASURES[kind].canonical };
}

/** A rate per day with its limits, all in one unit: `{ value, unit, low, high }`. */
export interface ShownRate {
  value: number;
  unit: Unit;
  low: number;
  high: number;
}

/**
 * Marks a rate per day for the presenter, which shows its limits in the same unit. Null stays null.
 */
export function shownRate(
  kind: MeasureKind,
  rate: { perDay: number; low: number; high: number } | null,
): ShownRate | null {
  return rate === null
    ? null
    : ({ ...measure(kind, rate.perDay), low: rate.low, high: rate.high } as unknown as ShownRate);
}
