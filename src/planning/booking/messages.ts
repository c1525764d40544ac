import { messages } from '../../domain/message.js';

/** Dates are YYYY-MM-DD. */
export const message = messages({
  'booking-not-open': {},
  'booking-no-due-date': {},
  'booking-no-depot': {},
  'booking-other-depot': { depot: 'text' },
  'booking-other-visit': { on: 'text' },
  'booking-too-far': { day: 'text', months: 'number', latest: 'text' },
});
