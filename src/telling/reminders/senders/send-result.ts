import type { Message } from '../../../domain/message.js';

/** The outcome of an attempt to send. */
export interface SendResult {
  /**
   * `accepted`: the receiver has the message. `failed`: a later attempt may succeed. `refused`:
   * another attempt would change nothing. `gone`: the receiver wants no more messages at all.
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

/** How many bytes of an answer are stored. */
export const ANSWER_BYTES = 2048;

/**
 * Returns the beginning of an answer without NUL characters, which PostgreSQL cannot store as text.
 */
export function storableAnswer(answer: Buffer): string {
  return answer.subarray(0, ANSWER_BYTES).toString('utf8').replaceAll('\u0000', '');
}
