import type { ImpossibleValue } from '../../impossible-value.js';
import type { Message } from '../../message.js';

/** Why a sum cannot come out, for a message that says of what. */
export function whyImpossible({ detail }: ImpossibleValue): Message {
  return typeof detail === 'string' ? { code: 'legacy', values: { text: detail } } : detail;
}
