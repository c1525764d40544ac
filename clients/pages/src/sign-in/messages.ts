import { messages } from '../../../../src/domain/message.js';

export const message = messages({
  'sign-in-going-on': {},
  'sign-in-by-token': {},
  'sign-in-provider-refused': {},
  'sign-in-provider-not-asked-for': {},
});
