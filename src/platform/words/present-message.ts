import {
  type ChangeValue,
  isMessage,
  type Message,
  type MessageValue,
  type MomentValue,
} from '../../domain/message.js';
import { isMeasure } from '../../domain/quantities/measures.js';
import type { MessageView } from './message.dto.js';
import { changeFor, quantityFor } from './quantity-words.js';
import { type Reader, textOf } from './render.js';

/** A message as it is answered: its code, its values in the reader's units, and what it says. */
export function presentMessage(message: Message, reader: Reader): MessageView {
  return {
    code: message.code,
    values: Object.fromEntries(
      Object.entries(message.values).map(([name, value]) => [name, presentValue(value, reader)]),
    ),
    text: textOf(message, reader),
  };
}

/** A value that is none of these is left as it is: one odd row must not make a list fail. */
function presentValue(value: MessageValue, reader: Reader): unknown {
  if (typeof value === 'number') return Number(value.toPrecision(10));
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return (value as MessageValue[]).map((item) => presentValue(item, reader));
  if (isMessage(value)) return presentMessage(value, reader);
  if (Object.hasOwn(value, 'moment')) return (value as MomentValue).moment;
  if (isMeasure(value)) return quantityFor(value, reader.units);
  return Object.hasOwn(value, 'change') ? changeFor(value as ChangeValue, reader.units) : value;
}
