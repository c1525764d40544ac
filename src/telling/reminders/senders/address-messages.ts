import { messages } from '../../../domain/message.js';

export const message = messages({
  'target-no-mail': {},
  'address-not-mail': {},
  'address-control-character': { character: 'text' },
});
