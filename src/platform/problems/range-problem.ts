import { ImpossibleValue } from '../../domain/impossible-value.js';
import { message } from './messages.js';
import { type FieldFault, type Problem, unacceptable } from './problem.js';

/** The domain's name of each field, and the field's place in the body. */
export type Pointers = Readonly<Record<string, string>>;

/** Returns the pointers of an object's fields, each under its own name. */
export function pointersOf(fields: object, parent = ''): Record<string, string> {
  return Object.fromEntries(Object.keys(fields).map((name) => [name, `${parent}/${name}`]));
}

/**
 * Turns the domain's refusal into a fault at the field's place in the body. If the place is not
 * known, the fault is at `parent` and names the field.
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

/** Turns the domain's refusal of an impossible value into a problem with status 422. */
export function rangeProblem(error: ImpossibleValue, pointers: Pointers, parent = ''): Problem {
  return unacceptable([rangeFault(error, pointers, parent)]);
}

/**
 * Runs domain code for a request.
 *
 * @throws Problem 422 in place of an ImpossibleValue; other errors pass unchanged
 */
export function refusingImpossible<T>(pointers: Pointers, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof ImpossibleValue) throw rangeProblem(error, pointers);
    throw error;
  }
}
