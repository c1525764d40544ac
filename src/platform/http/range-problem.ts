import { type FieldFault, type Problem, unacceptable } from './problem.js';

/** What a message of the domain begins with: the field it is about, in a list with the position as people count it, from 1. */
const LEADING_FIELD = /^([A-Za-z][\w ]*)(?:\[(\d+)\])?: (?=\S)/;

/** By what name the domain speaks of a field, and where in the body that field stands. */
export type Pointers = Readonly<Record<string, string>>;

/** The pointers of an object's own fields: each by its own name. */
export function pointersOf(fields: object, parent = ''): Record<string, string> {
  return Object.fromEntries(Object.keys(fields).map((name) => [name, `${parent}/${name}`]));
}

/** What the domain refused, at its place in the body where the message tells it; else at `parent`. */
export function rangeFault(error: RangeError, pointers: Pointers, parent = ''): FieldFault {
  const [leading = '', name = '', position] = LEADING_FIELD.exec(error.message) ?? [];
  const pointer = Object.hasOwn(pointers, name) ? pointers[name] : undefined;
  if (pointer === undefined) return { pointer: parent, detail: error.message };
  return {
    pointer: position === undefined ? pointer : `${pointer}/${Number(position) - 1}`,
    detail: error.message.slice(leading.length),
  };
}

/** The 422 that answers what the domain refuses as impossible. */
export function rangeProblem(error: RangeError, pointers: Pointers, parent = ''): Problem {
  return unacceptable([rangeFault(error, pointers, parent)]);
}

/**
 * Does work of the domain for a request.
 *
 * @throws Problem 422 in place of a RangeError
 */
export function refusingImpossible<T>(pointers: Pointers, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof RangeError) throw rangeProblem(error, pointers);
    throw error;
  }
}
