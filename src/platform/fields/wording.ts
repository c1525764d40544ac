import type { ValidationError, ValidationOptions } from 'class-validator';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** Says what is wrong with a value of an object. */
export type Wording = (value: unknown, object: object) => Message | null;

interface Context {
  readonly wording?: Wording;
}

/**
 * The options of a constraint whose fault is a message. The library knows texts alone, which are
 * composed before anybody knows the reader: so a constraint carries how it is worded, and
 * `faultOf` asks it.
 */
export function worded(wording: Wording): ValidationOptions {
  return { message: 'is not acceptable', context: { wording } satisfies Context };
}

/** The same, where it depends on nothing. */
export function saying(said: Message): ValidationOptions {
  return worded(() => said);
}

/** What is wrong with a field that is missing. */
export function required(): Message {
  return message('field-required');
}

/** What is wrong with a field that nobody knows. */
export function unknownField(): Message {
  return message('field-unknown');
}

/** What is wrong with a list or a text that names something twice. */
export function namedTwice(given: string): Message {
  return message('field-named-twice', { given });
}

/** What is wrong with what is neither true nor false. */
export function notFlag(given: string): Message {
  return message('field-not-flag', { given });
}

/** What is wrong with a date of which the calendar has none, such as February 30. */
export function noSuchDay(given: string): Message {
  return message('field-no-such-day', { given });
}

/** What is wrong with a date in the future, where something has happened. */
export function dateToCome(date: string): Message {
  return message('field-date-to-come', { date });
}

/** What is wrong with the end of a period that lies before its start. */
export function rangeExchanged(range: { from: string; to: string }): Message {
  return message('field-range-exchanged', range);
}

/** What the first constraint that an error names says. */
export function faultOf({ constraints = {}, contexts = {}, value, target = {} }: ValidationError): Message {
  const [constraint = ''] = Object.keys(constraints);
  if (constraint === 'whitelistValidation') return unknownField();
  const { wording } = (contexts[constraint] ?? {}) as Context;
  return wording?.(value, target) ?? message('field-not-acceptable');
}
