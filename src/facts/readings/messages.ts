import { messages } from '../../domain/message.js';

export const message = messages({
  'reading-kind-missing': { kinds: 'list' },
  'reading-kind-unknown': { given: 'text', kinds: 'list' },
  'reading-taken-ahead': { takenAt: 'text', now: 'text' },
  'usage-held': {},
});
