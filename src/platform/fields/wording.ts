import type { ValidationError, ValidationOptions } from 'class-validator';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** Returns what is wrong with a value of an object. */
export type Wording = (value: unknown, object: object) => Message | null;

interface Context {
  readonly wording?: Wording;
}

/**
 * Validation options for a constraint whose fault is a `Message`. The library only knows texts, and
 * it makes them before the reader is known. So the constraint carries its wording, and `faultOf`
 * reads it.
 */
export function worded(wording: Wording): ValidationOptions {
  return { message: 'is not acceptable', context: { wording } satisfies Context };
}

/** Like `worded`, for a fault that does not depend on the value. */
export function saying(said: Message): ValidationOptions {
  return worded(() => said);
}

/** The fault of a missing field. */
export function required(): Message {
  return message('field-required');
}

/** The fault of an unknown field. */
export function unknownField(): Message {
  return message('field-unknown');
}

/** The message for a list or a text that names something twice. */
export function namedTwice(given: string): Message {
  return message('field-named-twice', { given });
}

/** The message for a value that is neither true nor false. */
export function notFlag(given: string): Message {
  return message('field-not-flag', { given });
}

/** The message for a date that the calendar does not have, such as February 30. */
export function noSuchDay(given: string): Message {
  return message('field-no-such-day', { given });
}

/** The message for a date in the future, where it must be in the past. */
export function dateToCome(date: string): Message {
  return message('field-date-to-come', { date });
}

/** The message for a period that ends before it starts. */
export function rangeExchanged(range: { from: string; to: string }): Message {
  return message('field-range-exchanged', range);
}

/** The message of the first constraint that an error names. */
export function faultOf({ constraints = {}, contexts = {}, value, target = {} }: ValidationError): Message {
  const [constraint = ''] = Object.keys(constraints);
  if (constraint === 'whitelistValidation') return unknownField();
  const { wording } = (contexts[constraint] ?? {}) as Context;
  return wording?.(value, target) ?? message('field-not-acceptable');
}
