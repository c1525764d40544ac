import { messages } from '../../domain/message.js';

export const message = messages({
  'visit-cancelled-already': { reason: 'text' },
  'visit-done-already': { on: 'text' },
});
