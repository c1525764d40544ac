import type { Message } from '../../domain/message.js';
import { notFlag } from '../fields/wording.js';
import { message } from './messages.js';

/** The value of a cell, or why it cannot be read. */
export type Read<T> = { value: T } | { fault: Message };

/** A cell's text in quotes, shortened for a message. */
export const quoted = (text: string): string => `"${text.length > 60 ? `${text.slice(0, 57)}…` : text}"`;

const YES = new Set(['true', 'yes', 'y', '1']);
const NO = new Set(['false', 'no', 'n', '0']);

export function flagIn(text: string): Read<boolean> {
  const cell = text.trim().toLowerCase();
  if (YES.has(cell)) return { value: true };
  if (NO.has(cell)) return { value: false };
  return { fault: notFlag(quoted(text.trim())) };
}

/**
 * Turns text into a word of a fixed list, as the API writes it: `Water Pump` becomes `water-pump`.
 */
export function wordIn(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replaceAll(/[\s_]+/g, '-');
}

/** Adds to a fault what was probably meant. */
export function probably(fault: Message, meant: string): Message {
  return message('cell-was-it', { fault, meant });
}
