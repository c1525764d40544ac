import type { Message } from '../../domain/message.js';
import { inUnit, unitsTaken } from '../../domain/quantities/given.js';
import { canonical, type MeasureKind } from '../../domain/quantities/measures.js';
import { isUnit, type Quantity, type Unit } from '../../domain/quantities/units.js';
import { message } from './messages.js';
import { shown } from './shown.js';

/**
 * The smallest and largest value that the service accepts for each measure, in its canonical unit.
 * The limits are generous, but finite.
 */
const LIMITS: Record<MeasureKind, { min: number; max: number }> = {
  distance: { min: 0, max: 10_000_000 },
  elevation: { min: -450, max: 6000 },
  size: { min: 0, max: 100_000 },
  'engine-hours': { min: 0, max: 1_000_000 },
  vacuum: { min: 0, max: 1000 },
  pressure: { min: 0, max: 2000 },
  temperature: { min: -100, max: 300 },
  volume: { min: 0, max: 2000 },
  torque: { min: 0, max: 5000 },
  force: { min: 0, max: 20_000 },
};

export interface QuantityLimits {
  min?: number;
  max?: number;
}

/**
 * Returns why a value is not a quantity of the measure; null when it is one.
 *
 * @param limits smallest and largest value in the canonical unit, where they differ from the
 *   usual ones
 */
export function quantityFault(
  value: unknown,
  kind: MeasureKind,
  limits: QuantityLimits = {},
): Message | null {
  const accepted = unitsTaken(kind);
  if (value === undefined || value === null) return message('field-required');
  if (typeof value !== 'object' || Array.isArray(value)) return notQuantity(value, accepted);
  const extra = Object.keys(value).find((key) => key !== 'value' && key !== 'unit');
  if (extra !== undefined) return message('field-quantity-holds-other', { field: extra.slice(0, 40) });
  const { value: amount, unit } = value as Loose;
  const fault = partFault({ value: amount, unit }, accepted);
  if (fault !== null) return fault;
  return rangeFault({ value: amount, unit } as Quantity, kind, limits);
}

/** A quantity as sent, not validated yet. */
export interface Loose {
  value?: unknown;
  unit?: unknown;
}

/** Says that a value is no quantity at all. */
export function notQuantity(value: unknown, accepted: readonly Unit[]): Message {
  return message('field-not-quantity', { given: shown(value), unit: accepted[0] ?? '' });
}

/** Says what is wrong with the value or the unit of a quantity; null when both can be read. */
export function partFault({ value: amount, unit }: Loose, accepted: readonly Unit[]): Message | null {
  if (unit === undefined) return message('field-unit-missing', { units: accepted });
  if (!isUnit(unit) || !accepted.includes(unit))
    return message('field-unit-not-taken', { given: shown(unit), units: accepted });
  if (amount === undefined) return message('field-value-missing');
  if (typeof amount !== 'number' || !Number.isFinite(amount))
    return message('field-value-not-number', { given: shown(amount) });
  return null;
}

function rangeFault(quantity: Quantity, kind: MeasureKind, limits: QuantityLimits): Message | null {
  const { value: amount, unit } = quantity;
  const inCanonical = canonical(kind, quantity);
  const { min, max } = { ...LIMITS[kind], ...limits };
  if (inCanonical < min - 1e-9 || inCanonical > max + 1e-9) {
    const show = (limit: number): string => `${Number(inUnit(kind, limit, unit).toPrecision(6))} ${unit}`;
    const given = `${amount} ${unit}`;
    return message('field-quantity-out-of-range', { given, min: show(min), max: show(max) });
  }
  return null;
}
