import type { Message, Words } from '../../domain/message.js';
import { LEGACY } from './render.js';

/** Words as a message: a sentence that is not one yet tells itself. */
export function asMessage(words: Words): Message {
  return typeof words === 'string' ? { code: LEGACY, values: { text: words } } : words;
}
