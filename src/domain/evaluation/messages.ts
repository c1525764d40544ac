import { messages } from '../message.js';

export const message = messages({
  'starter-values': {},
  'starter-interval': {},
});
