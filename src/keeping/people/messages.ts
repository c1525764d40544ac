import { messages } from '../../domain/message.js';

export const message = messages({
  'command-person-own-word': { given: 'text' },
  'command-person-missing': {},
  'command-person-too-little': { given: 'text' },
  'target-of-forgotten-person': {},
});
