import { messages } from '../../domain/message.js';

export const message = messages({
  'file-store-away': {},
});
