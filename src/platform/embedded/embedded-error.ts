import type { Message } from '../../domain/message.js';
import { OPERATOR } from '../words/operator-language.js';
import { textOf } from '../words/render.js';

/** A failure of the embedded PostgreSQL, worded for the person who started the service. */
export class EmbeddedPostgresError extends Error {
  override name = 'EmbeddedPostgresError';

  /** The message in one line, without the log. */
  readonly reason: string;

  constructor(words: Message, reason?: string) {
    super(textOf(words, OPERATOR));
    this.reason = reason ?? this.message;
  }
}

/** The `code` of a system error (`ENOENT`, `EPERM`, …); undefined for anything else. */
export function errorCode(error: unknown): string | undefined {
  if (typeof error !== 'object' || error === null || !('code' in error)) return undefined;
  return typeof error.code === 'string' ? error.code : undefined;
}

/** Returns the last lines of a log. */
export function lastLines(text: string, count: number): string {
  return text.trimEnd().split('\n').slice(-count).join('\n');
}
