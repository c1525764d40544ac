import { ACTIONS, COMPONENTS, type WorkLine } from '../../domain/intervals/types.js';
import { badQuery } from '../../platform/problems/problem.js';

/** More than a visit holds; a card must still be read at arm's length. */
export const MAX_LINES = 24;
const MAX_ITEM = 80;

const isOf = <T extends string>(words: readonly T[], word: string): word is T =>
  (words as readonly string[]).includes(word);

/**
 * Reads `component:action[:item]`, with commas between them. A comma within an item's name is part
 * of it, as long as what follows holds no colon.
 *
 * @throws Problem 400 naming the parameter, the word that is not known, and those that are
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
    throw fault(`holds ${pieces.length} lines; a card takes at most ${MAX_LINES}`);
  const lines = pieces.map(readLine);
  const seen = new Set<string>();
  for (const { component, action, item } of lines) {
    const key = JSON.stringify([component, action, item]);
    if (seen.has(key)) throw fault(`names ${component}:${action}${item === null ? '' : `:${item}`} twice`);
    seen.add(key);
  }
  return lines;
}

function readLine(piece: string): WorkLine {
  const [component = '', action, ...rest] = piece.trim().split(':');
  if (!isOf(COMPONENTS, component))
    throw fault(
      `has ${shown(component)} where a component is needed: one of ${COMPONENTS.join(', ')}; lines are written component:action, or component:action:item, such as water-pump:replace,drive-belt:replace:accessory`,
    );
  if (action === undefined)
    throw fault(
      `lacks the action after ${component}: one of ${ACTIONS.join(', ')}, such as ${component}:replace`,
    );
  if (!isOf(ACTIONS, action))
    throw fault(`has ${shown(action)} where an action is needed: one of ${ACTIONS.join(', ')}`);
  const item = rest.length === 0 ? null : rest.join(':').trim();
  if (item !== null && (item === '' || item.length > MAX_ITEM))
    throw fault(`has an item of ${item.length} characters; 1 to ${MAX_ITEM} are taken, or leave it out`);
  return { component, action, item };
}

/** @throws Problem 400 where a line names a belt that the sheet does not have */
export function assertBeltsKnown(lines: readonly WorkLine[], belts: readonly { name: string }[]): void {
  if (belts.length === 0) return;
  for (const { component, item } of lines) {
    if (component === 'drive-belt' && item !== null && !belts.some(({ name }) => name === item)) {
      const names = belts.map(({ name }) => name).join(', ');
      throw fault(`names the belt ${shown(item)}, which is not on the spec sheet; it has ${names}`);
    }
  }
}

function fault(detail: string): Error {
  return badQuery('lines', detail);
}

function shown(word: string): string {
  return word === '' ? 'nothing' : `"${word.length > 60 ? `${word.slice(0, 57)}…` : word}"`;
}
