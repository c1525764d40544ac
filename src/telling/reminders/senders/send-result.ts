import type { Message } from '../../../domain/message.js';

/** How an attempt at sending went. */
export interface SendResult {
  /**
   * `accepted`: the receiver has it. `failed`: it may be tried again. `refused`: trying again
   * would change nothing. `gone`: the receiver wants no more of anything.
   */
  outcome: 'accepted' | 'failed' | 'refused' | 'gone';
  httpStatus: number | null;
  /** The reply code of a mail server. */
  smtpStatus: number | null;
  durationMs: number;
  error: Message | null;
  /** The first 2 kB of the answer. */
  answer: string | null;
}

/** So much of an answer is kept. */
export const ANSWER_BYTES = 2048;

/** The beginning of an answer as it can be stored: PostgreSQL's text cannot hold a NUL. */
export function storableAnswer(answer: Buffer): string {
  return answer.subarray(0, ANSWER_BYTES).toString('utf8').replaceAll('\u0000', '');
}
