import { messages } from '../../domain/message.js';

export const message = messages({
  'circuit-not-of-vehicle': { circuit: 'text', circuits: 'list' },
  'circuit-of-other-part': { component: 'text' },
  'reading-kind-missing': { kinds: 'list' },
  'reading-kind-unknown': { given: 'text', kinds: 'list' },
  'reading-taken-ahead': { takenAt: 'text', now: 'text' },
  'usage-held': {},
});
