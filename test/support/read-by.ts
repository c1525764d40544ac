import { isMessage, type Message } from '../../src/domain/message.js';
import { type Reader, textOf } from '../../src/platform/words/render.js';

/** A value with each message in it as the text that a reader sees. */
export type Read<T> = T extends Message
  ? string
  : T extends readonly (infer Item)[]
    ? Read<Item>[]
    : T extends object
      ? { [Name in keyof T]: Read<T[Name]> }
      : T;

/** Puts each message in a value into the words of its reader. */
export function readBy<T>(reader: Reader, value: T): Read<T> {
  if (typeof value !== 'object' || value === null) return value as Read<T>;
  if (isMessage(value)) return textOf(value, reader) as Read<T>;
  if (Array.isArray(value)) return value.map((item: unknown) => readBy(reader, item)) as Read<T>;
  return Object.fromEntries(
    Object.entries(value).map(([name, part]) => [name, readBy(reader, part as unknown)]),
  ) as Read<T>;
}
