import { convert, type Quantity, type Unit } from './units.js';

/** The two systems in which a fleet may read its answers. */
export type UnitSystem = 'us' | 'si';

/**
 * What a number in the domain is a measure of: the canonical unit it is computed and stored in, and
 * the unit in which each system shows it. One dimension can have several: a vacuum is read in inHg
 * where a cap's rating is read in psi.
 */
export const MEASURES = {
  distance: { canonical: 'km', us: 'mi', si: 'km' },
  elevation: { canonical: 'm', us: 'ft', si: 'm' },
  size: { canonical: 'mm', us: 'in', si: 'mm' },
  'engine-hours': { canonical: 'h', us: 'h', si: 'h' },
  vacuum: { canonical: 'kPa', us: 'inHg', si: 'kPa' },
  pressure: { canonical: 'kPa', us: 'psi', si: 'kPa' },
  temperature: { canonical: 'C', us: 'F', si: 'C' },
  volume: { canonical: 'L', us: 'qt', si: 'L' },
  torque: { canonical: 'N.m', us: 'ft.lbf', si: 'N.m' },
  force: { canonical: 'N', us: 'lbf', si: 'N' },
} as const satisfies Record<string, { canonical: Unit; us: Unit; si: Unit }>;

const US_UNITS: readonly Unit[] = [
  ...(['in', 'ft', 'mi', 'psi', 'inHg', 'F', 'fl.oz', 'pt', 'qt', 'gal', 'ft.lbf', 'in.lbf', 'lbf'] as const),
];

/** The system that a typed unit belongs to. @example systemOf('psi') // 'us' */
export function systemOf(unit: Unit): UnitSystem {
  return US_UNITS.includes(unit) ? 'us' : 'si';
}

export type MeasureKind = keyof typeof MEASURES;

/**
 * A computed quantity in its canonical unit; the edge of the service shows it in the reader's
 * units.
 */
export interface Measure {
  measure: MeasureKind;
  value: number;
}

export function measure(kind: MeasureKind, canonicalValue: number): Measure {
  return { measure: kind, value: canonicalValue };
}

const isKind = (name: unknown): boolean => typeof name === 'string' && Object.hasOwn(MEASURES, name);

/** What a client posted may look like one: only a known measure with a number is. */
export function isMeasure(candidate: unknown): candidate is Measure {
  return (
    typeof candidate === 'object' &&
    candidate !== null &&
    Object.hasOwn(candidate, 'measure') &&
    Object.hasOwn(candidate, 'value') &&
    isKind((candidate as Record<string, unknown>)['measure']) &&
    typeof (candidate as Record<string, unknown>)['value'] === 'number'
  );
}

/** Canonical value to the quantity that a reader of the given system sees. @example inSystem('distance', 1.609344, 'us') // { value: 1, unit: 'mi' } */
export function inSystem(kind: MeasureKind, canonicalValue: number, system: UnitSystem): Quantity {
  const unit = MEASURES[kind][system];
  return { value: convert(canonicalValue, MEASURES[kind].canonical, unit), unit };
}

/**
 * A quantity to the canonical value of a measure. @throws ImpossibleValue when the dimension is
 * wrong. @example canonical('volume', { value: 1, unit: 'gal' }) // 3.785411784
 */
export function canonical(kind: MeasureKind, quantity: Quantity): number {
  return convert(quantity.value, quantity.unit, MEASURES[kind].canonical);
}
