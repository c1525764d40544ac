import type { Component, WorkLine } from '../../intervals/types.js';
import { asRead } from '../../quantities/as-read.js';
import { inSystem, type MeasureKind, type UnitSystem } from '../../quantities/measures.js';

const NOT_AS_SPELT: Partial<Record<Component, string>> = { 'egr-cooler': 'EGR cooler', other: 'other part' };

/** A component as it is said. @example componentInWords('egr-cooler') // 'EGR cooler' */
export function componentInWords(component: Component): string {
  return NOT_AS_SPELT[component] ?? component.replaceAll('-', ' ');
}

/**
 * What a line is about, as it is said. @example partInWords({ component: 'drive-belt', action:
 * 'replace', item: 'accessory' }) // 'drive belt (accessory)'
 */
export function partInWords({ component, item }: WorkLine): string {
  return componentInWords(component) + (item === null ? '' : ` (${item})`);
}

/**
 * What is done, with the parts it is done to, each named once; null where there are none.
 *
 * @example withParts('Inspect', [{ component: 'idler', action: 'inspect', item: null }]) // 'Inspect: idler'
 */
export function withParts(verb: string, lines: readonly WorkLine[]): string | null {
  const named = partsInWords(lines);
  return named === null ? null : `${verb}: ${named}`;
}

/** The parts that lines are about, each named once; null where there are none. */
export function partsInWords(lines: readonly WorkLine[]): string | null {
  return lines.length === 0 ? null : [...new Set(lines.map(partInWords))].join(', ');
}

/**
 * A canonical value in the reader's units for a sentence, as a bay reads it.
 *
 * @param value in the measure's canonical unit
 * @example inWords('volume', 9.5, 'us') // '10 qt'
 */
export function inWords(kind: MeasureKind, value: number, units: UnitSystem): string {
  return asRead(kind, value, units);
}

/**
 * A round distance in the reader's units, to the nearest ten. @param km km @example
 * distanceInWords(160, 'us') // '100 mi'
 */
export function distanceInWords(km: number, units: UnitSystem): string {
  const { value, unit } = inSystem('distance', km, units);
  return `${10 * Math.round(value / 10)} ${unit}`;
}
