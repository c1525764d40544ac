import type { Message } from '../../domain/message.js';
import { OPERATOR } from '../words/operator-language.js';
import { textOf } from '../words/render.js';
import { message } from './messages.js';

export type Environment = Readonly<Record<string, string | undefined>>;

/**
 * A setting that cannot be used. The message names the variable, its value and what is accepted.
 */
export class ConfigError extends Error {
  constructor(readonly words: Message) {
    super(textOf(words, OPERATOR));
  }
}

export function wholeNumber(
  env: Environment,
  name: string,
  fallback: number,
  min: number,
  max: number,
): number {
  const text = env[name];
  if (text === undefined || text === '') return fallback;
  const value = Number(text);
  if (!Number.isInteger(value) || value < min || value > max) {
    throw new ConfigError(
      message('setting-whole-number', { name, given: text, min: String(min), max: String(max) }),
    );
  }
  return value;
}

/** Splits a comma-separated setting. */
export function list(text: string): string[] {
  return text
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '');
}
