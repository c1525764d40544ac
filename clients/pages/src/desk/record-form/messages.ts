import { messages } from '../../../../../src/domain/message.js';

export const message = messages({
  'desk-record-with-unit': { label: 'text', unit: 'text' },
  'desk-record-path': { whole: 'text', part: 'text' },
  'desk-record-none': {},
  'desk-record-nothing': {},
  'desk-record-yes': {},
  'desk-record-no': {},
  'desk-record-unit-of': { label: 'text' },
  'desk-record-change': { field: 'text', before: 'text', now: 'text' },
  'desk-record-added': { what: 'text' },
  'desk-record-removed': { what: 'text' },
  'desk-record-remove': { what: 'text' },
  'desk-record-new-entry': {},
  'desk-record-marked': {},
  'desk-record-meanwhile': {},
  'desk-record-unchanged': {},
  'desk-record-keep': {},
  'desk-record-keep-title': { name: 'text' },
  'desk-record-keep-now': {},
  'desk-record-kept': {},
  'desk-record-undo': {},
});
