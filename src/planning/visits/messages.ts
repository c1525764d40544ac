import { messages } from '../../domain/message.js';

export const message = messages({
  'visits-range-exchanged': { from: 'text', to: 'text' },
  'visit-cancelled-already': { reason: 'text' },
  'visit-done-already': { on: 'text' },
});
