import { messages } from '../../domain/message.js';

export const message = messages({
  'units-not-known': {},
});
