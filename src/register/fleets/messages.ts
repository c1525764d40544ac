import { messages } from '../../domain/message.js';

export const message = messages({
  'time-zone-not-in-database': { zone: 'text' },
  'time-zone-written-otherwise': { zone: 'text', written: 'text' },
});
