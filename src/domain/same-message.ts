import type { Message } from './message.js';

/**
 * Whether two messages say the same. The order of their keys does not count: a database keeps its
 * own.
 *
 * @example isSameMessage({ code: 'a', values: {} }, { values: {}, code: 'a' }) // true
 */
export function isSameMessage(left: Message | null, right: Message | null): boolean {
  return isSame(left, right);
}

function isSame(left: unknown, right: unknown): boolean {
  if (left === right) return true;
  if (typeof left !== 'object' || typeof right !== 'object' || left === null || right === null) return false;
  const [before, after] = [Object.entries(left), right as Record<string, unknown>];
  return (
    before.length === Object.keys(right).length &&
    before.every(([key, value]) => Object.hasOwn(right, key) && isSame(value, after[key]))
  );
}
