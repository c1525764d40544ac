import { messages } from '../../domain/message.js';

export const message = messages({
  'batch-not-a-list': { most: 'number', what: ['reports', 'defects'] },
  'body-larger-than-path': {},
  'address-too-long': {},
  'path-not-decodable': {},
  'database-away': {},
  'internal-error': {},
  'request-refused': { reason: 'text' },
  'process-ending': {},
  'headers-too-large': {},
  'request-malformed': {},
});
