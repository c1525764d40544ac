import { messages } from '../../domain/message.js';

export const message = messages({
  'person-left': {},
  'sign-in-spent': {},
  'sign-in-code-malformed': {},
  'sign-in-token-refused': {},
  'sign-in-one-of': {},
  'sign-in-token-of-program': { role: 'text' },
  'sessions-of-others': {},
  'sign-in-without-provider': {},
  'sign-in-no-depot-known': {},
  'sign-in-person-left': {},
});
