import { canonicalJson } from './canonical-json.js';
import type { Message } from './message.js';

/**
 * Whether two messages say the same.
 *
 * @example isSameMessage({ code: 'a', values: {} }, { values: {}, code: 'a' }) // true
 */
export function isSameMessage(left: Message | null, right: Message | null): boolean {
  return left === right || canonicalJson(left) === canonicalJson(right);
}

/** Leaves out what was said before. */
export function eachOnce(said: readonly Message[]): Message[] {
  return [...new Map(said.map((one) => [canonicalJson(one), one])).values()];
}
