import { messages } from '../../domain/message.js';

export const message = messages({
  'reminder-not-resendable': { status: ['waiting', 'withdrawn', 'superseded'] },
  'reminder-in-digest': { digestId: 'text' },
  'reminder-no-longer-so': {},
  'reminder-target-off': {},
});
