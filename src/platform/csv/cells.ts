import type { Message } from '../../domain/message.js';
import { notFlag } from '../fields/wording.js';
import { message } from './messages.js';

/** What a cell says; or why that cannot be told. */
export type Read<T> = { value: T } | { fault: Message };

/** The text of a cell as a message quotes it. */
export const quoted = (text: string): string => `"${text.length > 60 ? `${text.slice(0, 57)}…` : text}"`;

const YES = new Set(['true', 'yes', 'y', '1']);
const NO = new Set(['false', 'no', 'n', '0']);

export function flagIn(text: string): Read<boolean> {
  const cell = text.trim().toLowerCase();
  if (YES.has(cell)) return { value: true };
  if (NO.has(cell)) return { value: false };
  return { fault: notFlag(quoted(text.trim())) };
}

/** A word of a fixed list, as the API writes it: `Water Pump` for water-pump. */
export function wordIn(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replaceAll(/[\s_]+/g, '-');
}

/** What is wrong with a cell, and what was probably meant. */
export function probably(fault: Message, meant: string): Message {
  return message('cell-was-it', { fault, meant });
}
