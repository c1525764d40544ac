import type { Message } from '../../domain/message.js';
import type { MessageView } from './message.dto.js';
import { presentMessage } from './present-message.js';
import type { Reader } from './render.js';

/** A message on its way out, typed as what the presenter will show in its place. */
export function shownMessage(words: Message): MessageView {
  return words as unknown as MessageView;
}

/** As `shownMessage`, for several. */
export function shownMessages(words: readonly Message[]): MessageView[] {
  return words as unknown as MessageView[];
}

/**
 * Puts messages on their way out: for the presenter to show, or in the reader's words right away.
 */
export type Telling = (messages: readonly Message[]) => MessageView[];

/**
 * Tells messages in the reader's words right away, for answers of many that the presenter need not
 * go through. A message without values is put into words once.
 */
export function toldTo(reader: Reader): Telling {
  const known = new Map<string, MessageView>();
  const tellOne = (message: Message): MessageView => {
    if (Object.keys(message.values).length > 0) return presentMessage(message, reader);
    let view = known.get(message.code);
    if (view === undefined) known.set(message.code, (view = presentMessage(message, reader)));
    return view;
  };
  return (messages) => messages.map(tellOne);
}
