import type { LossAlertKind } from '../../domain/loss/facts/types.js';
import type { Message } from '../../domain/message.js';
import type { ReadingKind } from '../../domain/readings/kinds.js';
import { message } from './messages.js';

/** A kind of reading as a term. @example readingTerm('belt-check') // in words: 'belt check' */
export function readingTerm(kind: ReadingKind): Message {
  return message(`reading-${kind}`);
}

/** A kind of loss alert as a term. @example alertTerm('rising-loss') // in words: 'rising loss' */
export function alertTerm(kind: LossAlertKind): Message {
  return message(`alert-${kind}`);
}
