import { messages } from '../../domain/message.js';

export const message = messages({
  'queue-through-pooler': {},
  'queue-no-tables': {},
  'queue-tables-closed': {},
});
