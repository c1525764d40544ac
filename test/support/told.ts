import type { Read } from '../../src/platform/csv/cells.js';
import type { FieldFault } from '../../src/platform/problems/problem.js';
import { english } from './english.js';

/**
 * Faults and notices of an answer for a test that reads texts: without their codes and values.
 * Undefined stays undefined, for an answer that has none.
 */
export function inText<T = any>(told: readonly { code?: unknown; values?: unknown }[] | undefined): T[] {
  return told?.map(({ code: _code, values: _values, ...rest }) => rest as T) as T[];
}

/** A cell as it was read, or what is wrong with it in English. */
export function readInEnglish<T>(read: Read<T>): { value: T } | { fault: string } {
  return 'fault' in read ? { fault: english(read.fault) } : read;
}

/** Faults as an English reader sees them. */
export function faultsInEnglish<T extends Pick<FieldFault, 'detail'>>(faults: readonly T[]) {
  return faults.map(({ detail, ...place }) => ({ ...place, detail: english(detail) }));
}
