import type { Message } from '../../domain/message.js';
import type { MessageView } from './message.dto.js';
import { message } from './messages.js';
import { shownMessage } from './shown-messages.js';

/** Why a record was voided: in a person's own words, or a message if the service voided it. */
export type VoidReason = string | Message;

/** Types the reason as the presenter will show it. */
export function shownVoidReason(reason: VoidReason | null): string | MessageView {
  return typeof reason === 'object' && reason !== null ? shownMessage(reason) : (reason ?? '');
}

/** Turns the reason into a message, for use inside another one. */
export function voidReasonTold(reason: VoidReason | null): Message {
  return typeof reason === 'object' && reason !== null
    ? reason
    : message('voided-as-typed', { reason: reason ?? '' });
}
