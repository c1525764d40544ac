import { messages } from '../../../domain/message.js';

/** How an attempt at sending failed. Each is told inside a sentence, or by itself. */
export const message = messages({
  'attempt-under-way': {},
  'attempt-redirected': {},
  'attempt-too-slow': { seconds: 'number' },
  'attempt-mail-server-too-slow': { seconds: 'number' },
  'attempt-without-mail-server': {},
  'attempt-address-fault': { fault: 'message' },
  'attempt-mail-server-answered': { answer: 'text' },
});
