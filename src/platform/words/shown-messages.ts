import type { Words } from '../../domain/message.js';
import type { MessageView } from './message.dto.js';

/** A message on its way out, typed as what the presenter will show in its place. */
export function shownMessage(words: Words): MessageView {
  return words as unknown as MessageView;
}

/** As `shownMessage`, for several. */
export function shownMessages(words: readonly Words[]): MessageView[] {
  return words as unknown as MessageView[];
}
