import type { FieldFault } from './problem.js';

/** The name of a field that leads a message of the domain: the pointer says it better. */
const LEADING_FIELD = /^[A-Za-z]\w*(\[\d+\])?: /;

/** What the domain refuses (a RangeError) as a fault at its place in the body; nothing when it refuses nothing. */
export function domainFaults(pointer: string, work: () => unknown): FieldFault[] {
  try {
    work();
    return [];
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return [{ pointer, detail: error.message.replace(LEADING_FIELD, '') }];
  }
}

/** A fault for each entry whose name another has already, whatever the case of its letters. */
export function duplicateFaults(
  names: readonly string[],
  pointerOf: (index: number) => string,
  what: string,
): FieldFault[] {
  const seen = new Map<string, number>();
  return names.flatMap((name, index) => {
    const key = name.trim().toLowerCase();
    const first = seen.get(key);
    if (first === undefined) {
      seen.set(key, index);
      return [];
    }
    return [
      { pointer: pointerOf(index), detail: `"${name.trim()}" is ${what} at position ${first + 1} already` },
    ];
  });
}
