import type { Message } from '../message.js';
import { message } from './messages.js';

/** An additive as a term. @example additiveTerm(null) // in words: 'additive' */
export function additiveTerm(product: string | null): Message {
  return product === null ? message('coolant-additive') : message('coolant-additive-named', { product });
}
