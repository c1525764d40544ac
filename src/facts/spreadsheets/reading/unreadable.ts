import type { Message } from '../../../domain/message.js';
import type { FieldFault } from '../../../platform/problems/problem.js';

/** A file cannot be read as a spreadsheet. */
export class UnreadableSheet extends Error {
  constructor(
    readonly why: Message,
    readonly place: Pick<FieldFault, 'line'> = {},
  ) {
    super(why.code);
  }
}
