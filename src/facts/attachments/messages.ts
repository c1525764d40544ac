import { messages } from '../../domain/message.js';

export const message = messages({
  'attachment-file-missing': {},
  'attachments-full': { size: 'text', present: 'text', limit: 'text' },
  'attachment-was-voided': { on: 'text', reason: 'text' },
  'attachment-voided-already': { reason: 'text' },
  'attachment-one-too-many': { most: 'number' },
  'attachment-range-outside': { bytes: 'number' },
  'attachment-too-large': { megabytes: 'number' },
  'attachment-empty': {},
  'attachment-type-unknown': {},
  'attachment-type-not-taken': { type: 'text' },
  'attachment-damaged': { type: 'text', why: 'text' },
  'attachment-read-too-slowly': {},
  'attachment-uploads-full': { most: 'number', seconds: 'number' },
});
