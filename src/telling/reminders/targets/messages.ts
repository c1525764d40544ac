import { messages } from '../../../domain/message.js';

export const message = messages({
  'reminder-test': {},
  'target-kind-fixed': { given: 'text', kind: 'text' },
  'target-without-secret': {},
  'target-hours-empty': {},
  'target-person-left': {},
});
