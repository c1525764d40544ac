import { messages } from '../../domain/message.js';

export const message = messages({
  'too-many-without-token': { limit: 'number' },
  'too-many-unknown-tokens': { limit: 'number' },
  'too-many-sign-ins': { limit: 'number' },
  'too-many-fleet-requests': { limit: 'number', seconds: 'number' },
  'too-many-by-label': { seconds: 'number' },
  'too-many-token-requests': { limit: 'number', seconds: 'number' },
});
