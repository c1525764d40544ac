import { messages } from '../../domain/message.js';

export const message = messages({
  'field-not-storable': {},
  'parameter-unknown': {},
  'object-needed': {},
  'body-too-deep': { most: 'number' },
  'body-list-too-long': { count: 'number', most: 'number' },
  'body-too-many-fields': { count: 'number', most: 'number' },
  'malformed-json': { reason: 'text' },
  'media-type-missing': { accepted: 'list' },
  'media-type-not-taken': { given: 'text', accepted: 'list' },
  'media-type-json': {},
  'body-compressed': { coding: 'text' },
  'upload-broken': {},
  'form-field-beside-file': {},
  'form-several-files': {},
  'form-unreadable': {},
  'form-without-file': {},
});
