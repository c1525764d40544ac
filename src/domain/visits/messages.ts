import { messages } from '../message.js';

/** Dates are YYYY-MM-DD. */
export const message = messages({
  'visit-left-no-working-day': {},
  'visit-left-window-opens-later': { opens: 'text' },
  'visit-left-too-long-for-a-day': { hours: 'number', from: 'text' },
  'visit-left-costs-no-more-later': { next: 'text' },
  'visit-left-for-dearer-work': { next: 'text' },
});
