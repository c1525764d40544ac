import { messages } from '../../domain/message.js';

export const message = messages({
  'token-expires-in-past': { given: 'text' },
  'too-many-tokens': { present: 'number', limit: 'number' },
  'last-manager-token': {},
  'last-manager-token-but-expiring': { name: 'text', expires: 'text' },
  'token-person-left': {},
  'token-beyond-person-role': { role: 'text', own: 'text' },
  'token-beyond-person-depots': {},
  'token-telematics-not-bound': {},
  'token-source-needs-role': {},
});
