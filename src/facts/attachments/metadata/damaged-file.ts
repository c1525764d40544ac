import type { Message } from '../../../domain/message.js';

/** The file is not what its first bytes say, or ends too early. */
export class DamagedFile extends Error {
  /** @param why where the fault is */
  constructor(readonly why: Message) {
    super(why.code);
  }
}
