import { messages } from '../../domain/message.js';

export const message = messages({
  'token-manager-not-bound': {},
  'token-depots-empty': {},
});
