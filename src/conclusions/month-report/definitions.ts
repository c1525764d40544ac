import type { Message } from '../../domain/message.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { message } from './messages.js';
import type { MonthDefinitions } from './month-report.dto.js';
import { REPEAT_DAYS } from './month-report.queries.js';

/** How each figure is counted, in the order in which the figures are read. */
export const DEFINITIONS: Readonly<Record<keyof MonthDefinitions, Message>> = {
  done: message('month-done'),
  inWindow: message('month-in-window'),
  inGrace: message('month-in-grace'),
  late: message('month-late'),
  medianDaysAfterDue: message('month-median-days'),
  daysLate: message('month-days-late'),
  work: message('month-work'),
  repeatJobs: message('month-repeats', { days: REPEAT_DAYS }),
  failedReadings: message('month-failed'),
  closed: message('month-closed'),
  daysOpen: message('month-days-open'),
  groups: message('month-groups'),
};

export function definitions(): MonthDefinitions {
  const entries = Object.entries(DEFINITIONS).map(([name, told]) => [name, shownMessage(told)]);
  return Object.fromEntries(entries) as MonthDefinitions;
}
