import { partTerm } from '../../intervals/terms.js';
import type { WorkLine } from '../../intervals/types.js';
import type { Message } from '../../message.js';
import { inSystem, MEASURES, type UnitSystem } from '../../quantities/measures.js';
import { told, type Told } from '../../quantities/told.js';
import { convert } from '../../quantities/units.js';
import { message } from '../messages.js';

/** The parts that lines are about, each named once. */
export function partsNamed(lines: readonly WorkLine[]): Message[] {
  const once = new Map(lines.map((line) => [JSON.stringify([line.component, line.item]), line]));
  return [...once.values()].map(partTerm);
}

/** What is done to parts that are named. */
type StepOfParts =
  | 'step-inspect'
  | 'step-test'
  | 'step-clean'
  | 'step-adjust'
  | 'step-tighten-fasteners'
  | 'step-remove'
  | 'step-remove-timed'
  | 'step-remove-filter';

/**
 * What is done, with the parts it is done to; null where there are none.
 *
 * @example partsStep('step-inspect', [{ component: 'idler', action: 'inspect', item: null }]) // in
 * words: 'Inspect: idler'
 */
export function partsStep(code: StepOfParts, lines: readonly WorkLine[]): Message | null {
  return lines.length === 0 ? null : message(code, { parts: partsNamed(lines) });
}

/**
 * A round distance, to the nearest ten of the reader's unit. @param km km @example
 * roundDistance(160, 'us') // in words: '100 mi'
 */
export function roundDistance(km: number, units: UnitSystem): Told {
  const unit = MEASURES.distance[units];
  const round = 10 * Math.round(inSystem('distance', km, units).value / 10);
  return told('distance', convert(round, unit, 'km'), unit);
}
