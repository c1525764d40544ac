import { ImpossibleValue } from '../../domain/impossible-value.js';
import { message } from './messages.js';
import { type FieldFault, type Problem, unacceptable } from './problem.js';

/** By what name the domain speaks of a field, and where in the body that field stands. */
export type Pointers = Readonly<Record<string, string>>;

/** The pointers of an object's own fields: each by its own name. */
export function pointersOf(fields: object, parent = ''): Record<string, string> {
  return Object.fromEntries(Object.keys(fields).map((name) => [name, `${parent}/${name}`]));
}

/**
 * What the domain refused, at its place in the body where that is known; else at `parent`, with the
 * domain's name for the field.
 */
export function rangeFault(error: ImpossibleValue, pointers: Pointers, parent = ''): FieldFault {
  const { field, index, detail } = error;
  const pointer = Object.hasOwn(pointers, field) ? pointers[field] : undefined;
  if (pointer === undefined)
    return {
      pointer: parent,
      detail: message('unplaced-fault', { field, fault: detail }),
    };
  return { pointer: index === null ? pointer : `${pointer}/${index}`, detail };
}

/** The 422 that answers what the domain refuses as impossible. */
export function rangeProblem(error: ImpossibleValue, pointers: Pointers, parent = ''): Problem {
  return unacceptable([rangeFault(error, pointers, parent)]);
}

/**
 * Does work of the domain for a request.
 *
 * @throws Problem 422 in place of an ImpossibleValue; every other error as it is
 */
export function refusingImpossible<T>(pointers: Pointers, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof ImpossibleValue) throw rangeProblem(error, pointers);
    throw error;
  }
}
