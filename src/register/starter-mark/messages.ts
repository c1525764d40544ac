import { messages } from '../../domain/message.js';

export const message = messages({
  'not-ready-made': { what: ['sheet', 'plan'] },
});
