import { messages } from '../../domain/message.js';

export const message = messages({
  'target-of-person-who-left': {},
});
