import type { UnitSystem } from '../quantities/measures.js';
import { convert } from '../quantities/units.js';

/**
 * What coolant, water and premix are usually bought in, L, by the reader's units: a jug of one US
 * gallon, a can of 5 L. Common practice, no published source; the store may keep others.
 */
export const USUAL_CONTAINER_L: Readonly<Record<UnitSystem, number>> = {
  us: convert(1, 'gal', 'L'),
  si: 5,
};

/** Sums of volumes differ in their last bits. This is a thousandth of a millilitre in 1 L. */
const ROUNDING = 1e-6;

/**
 * How many whole containers hold a volume. A part of a container counts as a whole one, because a
 * store hands out no part of a jug.
 *
 * @param volumeL what is needed, L, at least 0
 * @param containerL what one container holds, L, above 0
 * @example wholeContainers(14, 5) // 3
 */
export function wholeContainers(volumeL: number, containerL: number): number {
  return Math.max(0, Math.ceil(volumeL / containerL - ROUNDING));
}
