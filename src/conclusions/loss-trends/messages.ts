import { messages } from '../../domain/message.js';

export const message = messages({
  'trend-no-such-circuit': { circuit: 'text', circuits: 'list' },
});
