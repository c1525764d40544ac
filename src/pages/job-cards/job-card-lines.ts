import { ACTIONS, COMPONENTS, type WorkLine } from '../../domain/intervals/types.js';
import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import {
  type CircuitName,
  CIRCUITS,
  recordedCircuit,
  type VehicleCircuits,
} from '../../domain/vehicles/circuits.js';
import { message as readingMessage } from '../../facts/readings/messages.js';
import type { Message } from '../../domain/message.js';
import { badQuery } from '../../platform/problems/problem.js';
import { namedTwice } from '../../platform/fields/wording.js';
import { message } from './messages.js';

/** More lines than a visit has. A card must stay readable at arm's length. */
export const MAX_LINES = 24;
const MAX_ITEM = 80;

const isOf = <T extends string>(words: readonly T[], word: string): word is T =>
  (words as readonly string[]).includes(word);

/**
 * Reads `component:action[:item][@circuit]`, separated by commas. An item's name may contain a
 * comma if the text after the comma contains no colon.
 *
 * @throws Problem 400 naming the parameter, the unknown word and the known ones
 */
export function readLines(text: string): WorkLine[] {
  const pieces: string[] = [];
  for (const piece of text.split(',')) {
    const last = pieces.at(-1);
    const continuesItem = last !== undefined && last.split(':').length >= 3 && !piece.includes(':');
    if (continuesItem) pieces[pieces.length - 1] = `${last},${piece}`;
    else pieces.push(piece);
  }
  if (pieces.length > MAX_LINES)
    throw fault(message('card-lines-too-many', { count: pieces.length, most: MAX_LINES }));
  const lines = pieces.map(readLine);
  const seen = new Set<string>();
  for (const { component, action, item, circuit = null } of lines) {
    const key = JSON.stringify([component, action, item, circuit]);
    const named = [component, action, item ?? []].flat().join(':');
    if (seen.has(key)) throw fault(namedTwice(circuit === null ? named : `${named}@${circuit}`));
    seen.add(key);
  }
  return lines;
}

function readLine(text: string): WorkLine {
  const { piece, circuit } = circuitOf(text.trim());
  const [component = '', action, ...rest] = piece.split(':');
  if (!isOf(COMPONENTS, component)) throw fault(componentFault(component));
  if (action === undefined || action === '')
    throw fault(message('card-line-action-missing', { component, allowed: ACTIONS.join(', ') }));
  if (!isOf(ACTIONS, action))
    throw fault(message('card-line-action', { given: shown(action), allowed: ACTIONS.join(', ') }));
  const item = rest.length === 0 ? null : rest.join(':').trim();
  if (item !== null && (item === '' || item.length > MAX_ITEM))
    throw fault(message('card-line-item-length', { length: item.length, longest: MAX_ITEM }));
  return { component, action, item, ...(circuit !== null && { circuit }) };
}

/** An item's name may contain an @, so that only what follows the last one may be a circuit. */
function circuitOf(text: string): { piece: string; circuit: CircuitName | null } {
  const at = text.lastIndexOf('@');
  const word = text.slice(at + 1).trim();
  if (at !== -1 && isOf(CIRCUITS, word)) return { piece: text.slice(0, at).trim(), circuit: word };
  const isInItem = text.split(':').length >= 3;
  if (at === -1 || isInItem) return { piece: text, circuit: null };
  throw fault(message('card-line-circuit', { given: shown(word), allowed: CIRCUITS.join(', ') }));
}

/**
 * The lines with their circuits as they are recorded.
 *
 * @throws Problem 400 when a line names a circuit that the vehicle does not have
 */
export function linesInCircuits(lines: readonly WorkLine[], circuits: VehicleCircuits): WorkLine[] {
  return lines.map((line) => {
    const { component, circuit } = line;
    if (circuit == null) return line;
    if (!isInCircuit(component)) throw fault(readingMessage('circuit-of-other-part', { component }));
    const has = [circuits.first, ...circuits.others];
    if (!has.includes(circuit))
      throw fault(readingMessage('circuit-not-of-vehicle', { circuit, circuits: has }));
    return { ...line, circuit: recordedCircuit(circuit, circuits) };
  });
}

/** @throws Problem 400 when a line names a belt that is not on the sheet */
export function assertBeltsKnown(lines: readonly WorkLine[], belts: readonly { name: string }[]): void {
  if (belts.length === 0) return;
  for (const { component, item } of lines) {
    if (component === 'drive-belt' && item !== null && !belts.some(({ name }) => name === item)) {
      const names = belts.map(({ name }) => name);
      throw fault(message('card-line-belt', { given: shown(item), belts: names }));
    }
  }
}

function componentFault(given: string): Message {
  const allowed = COMPONENTS.join(', ');
  return given === ''
    ? message('card-line-component-missing', { allowed })
    : message('card-line-component', { given: shown(given), allowed });
}

function fault(detail: Message): Error {
  return badQuery('lines', detail);
}

function shown(word: string): string {
  return word.length > 60 ? `${word.slice(0, 57)}…` : word;
}
