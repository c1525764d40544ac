import { messages } from '../../domain/message.js';

export const message = messages({
  'cursor-not-of-list': {},
  'cursor-of-other-filters': {},
  'page-limit-out-of-range': { max: 'number' },
});
