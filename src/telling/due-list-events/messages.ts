import { messages } from '../../domain/message.js';

export const message = messages({
  'streams-of-token': { open: 'number', most: 'number' },
  'streams-of-fleet': { open: 'number', most: 'number' },
  'stream-none-free': {},
});
