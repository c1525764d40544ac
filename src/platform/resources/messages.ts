import { messages } from '../../domain/message.js';

export const message = messages({
  'record-changed': { version: 'text' },
  'version-not-current': { version: 'text' },
});
