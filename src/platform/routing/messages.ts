import { messages } from '../../domain/message.js';

export const message = messages({
  'no-such-path': {},
  'method-not-allowed': { allow: 'list' },
});
