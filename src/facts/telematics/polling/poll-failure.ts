import type { Message } from '../../../domain/message.js';

/** A poll that could not go on: why, and how long the source asks to wait, in milliseconds. */
export class PollFailure extends Error {
  override readonly name = 'PollFailure';

  constructor(
    readonly why: Message,
    readonly about: { waitMs?: number | null; isLinkAtFault?: boolean; status?: number } = {},
  ) {
    super(why.code);
  }
}
