import { messages } from '../../domain/message.js';

export const message = messages({
  'problem-page-meaning': {},
  'problem-page-remedy': {},
  'problem-page-status': {},
  'problem-page-unknown': {},
});
