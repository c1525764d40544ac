import { messages } from '../../../domain/message.js';

export const message = messages({
  // The document as a whole.
  'telematics-not-utf8': {},
  'telematics-too-large': { most: 'number' },
  'telematics-too-deep': { most: 'number' },
  'telematics-too-many-values': { most: 'number' },
  'telematics-not-xml': { line: 'number' },
  'telematics-doctype': {},
  'telematics-not-json': {},
  'telematics-other-document': { found: 'text', expected: 'text' },
  'telematics-column-missing': { columns: 'list' },
  'telematics-column-twice': { column: 'text' },
  'telematics-row-width': { cells: 'number', columns: 'number' },
  'telematics-csv-broken': { line: 'number' },

  // A value.
  'telematics-machine-unnamed': { fields: 'list' },
  'telematics-more-refused': { count: 'number' },
  'telematics-unit-missing': { field: 'text', units: 'list' },
  'telematics-unit-unknown': { given: 'text', units: 'list' },
  'telematics-value-missing': {},
  'telematics-not-a-number': { given: 'text' },
  'telematics-not-a-list': {},
  'telematics-not-an-object': {},
  'telematics-text-unusable': { given: 'text', most: 'number' },
  'telematics-not-true-or-false': { given: 'text' },
  'telematics-not-a-count': { given: 'text', most: 'number' },
  'telematics-link-unusable': { given: 'text' },
  'telematics-column-unknown': { column: 'text', columns: 'list' },
  'telematics-fault-source-missing': { code: 'text' },
  'telematics-fault-source-unknown': { source: 'text', code: 'text' },
  'telematics-fault-other-form': { source: 'text', code: 'text' },
});
