import { ImpossibleValue } from '../../domain/impossible-value.js';
import { message, type REPEATED } from './messages.js';
import type { FieldFault } from './problem.js';
import { type Pointers, rangeFault } from './range-problem.js';

/**
 * What the domain refuses as a fault at its place in the body; nothing when it refuses nothing.
 *
 * @param pointers where each field that the domain may name stands
 * @param parent where anything else stands
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

/** A fault for each entry whose name another has already, whatever the case of its letters. */
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
