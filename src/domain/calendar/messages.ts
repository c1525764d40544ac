import { messages } from '../message.js';

export const message = messages({
  'date-not-in-calendar': { date: 'text' },
  'months-not-whole': { months: 'number' },
  'time-zone-unknown': { timeZone: 'text' },
});
