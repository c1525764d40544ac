import { ImpossibleValue } from '../../domain/impossible-value.js';
import { message, type REPEATED } from './messages.js';
import type { FieldFault } from './problem.js';
import { type Pointers, rangeFault } from './range-problem.js';

/**
 * Runs domain code and returns its refusal as a fault in the body; empty when it refuses nothing.
 *
 * @param pointers the pointer of each field that the domain may name
 * @param parent the pointer for anything else
 */
export function domainFaults(pointers: Pointers, parent: string, work: () => unknown): FieldFault[] {
  try {
    work();
    return [];
  } catch (error) {
    if (!(error instanceof ImpossibleValue)) throw error;
    return [rangeFault(error, pointers, parent)];
  }
}

/**
 * Returns a fault for each entry that repeats an earlier name. Upper and lower case count as the
 * same.
 */
export function duplicateFaults(
  names: readonly string[],
  pointerOf: (index: number) => string,
  what: (typeof REPEATED)[number],
): FieldFault[] {
  const seen = new Map<string, number>();
  return names.flatMap((name, index) => {
    const key = name.trim().toLowerCase();
    const first = seen.get(key);
    if (first === undefined) {
      seen.set(key, index);
      return [];
    }
    const detail = message('repeated-entry', { what, name: name.trim(), position: first + 1 });
    return [{ pointer: pointerOf(index), detail }];
  });
}
