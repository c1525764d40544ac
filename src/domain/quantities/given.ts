import { canonical, type MeasureKind, MEASURES } from './measures.js';
import { convert, dimensionOf, type Quantity, type Unit, unitsOf } from './units.js';

/**
 * The units in which a value of a measure may be given, in the order in which an error names them.
 *
 * @example unitsTaken('volume') // ['mL', 'L', 'fl.oz', 'pt', 'qt', 'gal']
 */
export function unitsTaken(kind: MeasureKind): Unit[] {
  return unitsOf(dimensionOf(MEASURES[kind].canonical));
}

/**
 * A quantity that may be missing, in its measure's canonical unit; null where it is missing.
 *
 * @throws ImpossibleValue when the dimension is wrong
 * @example canonicalOf('volume', { value: 1, unit: 'gal' }) // 3.785411784
 */
export function canonicalOf(kind: MeasureKind, quantity: Quantity | null | undefined): number | null {
  return quantity ? canonical(kind, quantity) : null;
}

/**
 * A canonical value in a unit of the giver's choice.
 *
 * @throws ImpossibleValue when the unit measures something else
 * @example inUnit('volume', 3.785411784, 'gal') // 1
 */
export function inUnit(kind: MeasureKind, canonicalValue: number, unit: Unit): number {
  return convert(canonicalValue, MEASURES[kind].canonical, unit);
}
