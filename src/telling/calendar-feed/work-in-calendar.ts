import { actionTerm, partTerm } from '../../domain/intervals/terms.js';
import type { Action, Component } from '../../domain/intervals/types.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The work, as the title of an event shows it. @example // in words: 'replace water pump' */
export function workInCalendar(line: {
  component: Component;
  action: Action;
  item: string | null;
  /** Named where the vehicle has more than one. */
  circuit?: CircuitName | null;
}): Message {
  return message('calendar-work', { action: actionTerm(line.action), part: partTerm(line) });
}
