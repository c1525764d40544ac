import { messages } from '../../domain/message.js';

export const message = messages({
  'database-too-old': { version: 'text', oldest: 'text' },
});
