import { messages } from '../../domain/message.js';

export const message = messages({
  'month-done': {},
  'month-in-window': {},
  'month-in-grace': {},
  'month-late': {},
  'month-median-days': {},
  'month-days-late': {},
  'month-work': {},
  'month-repeats': { days: 'number' },
  'month-failed': {},
  'month-closed': {},
  'month-days-open': {},
  'month-groups': {},
});
