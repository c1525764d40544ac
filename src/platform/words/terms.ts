import type { LossAlertKind } from '../../domain/loss/facts/types.js';
import { withItem } from '../../domain/intervals/terms.js';
import type { Message } from '../../domain/message.js';
import type { ReadingKind } from '../../domain/readings/kinds.js';
import { message } from './messages.js';

/**
 * A kind of reading as a term, and which part was read.
 *
 * @example readingTerm('belt-check', 'accessory') // in words: 'belt check (accessory)'
 */
export function readingTerm(kind: ReadingKind, item: string | null = null): Message {
  return withItem(message(`reading-${kind}`), item);
}

/** A hold test as a term. @example holdTestTerm('vacuum') // in words: 'vacuum test' */
export function holdTestTerm(method: 'vacuum' | 'pressure'): Message {
  return message('hold-test-by-method', { method });
}

/** A kind of loss alert as a term. @example alertTerm('rising-loss') // in words: 'rising loss' */
export function alertTerm(kind: LossAlertKind): Message {
  return message(`alert-${kind}`);
}
