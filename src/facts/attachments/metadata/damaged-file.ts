import type { Message } from '../../../domain/message.js';

/** The file is not what it begins as, or ends before what it began. */
export class DamagedFile extends Error {
  /** @param why where it goes wrong */
  constructor(readonly why: Message) {
    super(why.code);
  }
}
