import type { Message } from '../../domain/message.js';
import type { MessageView } from './message.dto.js';
import { presentMessage } from './present-message.js';
import type { Reader } from './render.js';

/** Types a message as the view that the presenter will put in its place. */
export function shownMessage(words: Message): MessageView {
  return words as unknown as MessageView;
}

/** Like `shownMessage`, for several messages. */
export function shownMessages(words: readonly Message[]): MessageView[] {
  return words as unknown as MessageView[];
}

/** Turns messages into views: typed for the presenter, or rendered at once. */
export type Telling = (messages: readonly Message[]) => MessageView[];

/**
 * Renders messages at once, for long lists that skip the presenter. A message without values is
 * rendered once.
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
