import { messages } from '../../domain/message.js';

export const message = messages({
  'visit-cancelled-already': { reason: 'text' },
  'visit-done-already': { on: 'text' },
  'visit-lapsed-already': {},
  'visit-assignee-left': { name: 'text' },
  'visit-assignee-elsewhere': { name: 'text' },
  'visit-assignee-role': { name: 'text', role: 'text' },
});
