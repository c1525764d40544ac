import type { Message } from '../message.js';
import type { CircuitName } from '../vehicles/circuits.js';
import { message } from './messages.js';
import type { Action, Component, WorkLine } from './types.js';

/** A component as a term. @example componentTerm('egr-cooler') // in words: 'EGR cooler' */
export function componentTerm(component: Component): Message {
  return message(`component-${component}`);
}

/** An action as a term. @example actionTerm('flush') // in words: 'flush' */
export function actionTerm(action: Action): Message {
  return message(`action-${action}`);
}

/**
 * What a line is about, with the circuit that it names. @example partTerm({ component: 'drive-belt', action: 'replace', item:
 * 'accessory' }) // in words: 'drive belt (accessory)'
 */
export function partTerm({
  component,
  item,
  circuit,
}: Pick<WorkLine, 'component' | 'item' | 'circuit'>): Message {
  return inCircuit(withItem(componentTerm(component), item), circuit);
}

/** A term with the circuit it is about, where that is named. */
export function inCircuit(part: Message, circuit: CircuitName | null | undefined): Message {
  return circuit == null ? part : message('part-in-circuit', { part, circuit: circuitTerm(circuit) });
}

/** A circuit as a term. @example circuitTerm('battery') // in words: 'battery circuit' */
export function circuitTerm(circuit: CircuitName): Message {
  return message(`circuit-${circuit}`);
}

/** A term, and which one of several is meant. */
export function withItem(component: Message, item: string | null): Message {
  return item === null ? component : message('part-with-item', { component, item });
}

/**
 * What is done to what. @example workTerm({ component: 'drive-belt', action: 'replace', item: null })
 * // in words: 'drive belt: replace'
 */
export function workTerm(line: WorkLine): Message {
  return message('work-on-part', { part: partTerm(line), action: actionTerm(line.action) });
}
