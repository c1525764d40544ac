import { messages } from '../../domain/message.js';

export const message = messages({
  'sheet-note-titles': { count: 'number', header: 'number' },
  'sheet-note-column-left-out': { column: 'text', header: 'text' },
  'sheet-note-unknown-units': { count: 'number', units: 'list' },
  'sheet-note-mapping-again': {},
  'sheet-note-windows-1252': {},
  'sheet-note-unread': { sheet: 'text', why: 'message' },
  'sheet-depots-made': { count: 'number' },
  'sheet-refused-row': {},
  'sheet-refused-why': {},
  'sheet-refused-cell': { column: 'text', why: 'message' },
  'sheet-questions-open': { count: 'number' },
  'sheet-rows-gone': {},
  'sheets-full': { limit: 'number' },
  'sheet-no-such-question': { given: 'text', known: 'list' },
  'sheet-no-such-option': { given: 'text', known: 'list' },
  'sheet-no-such-column': { given: 'text', last: 'text' },
  'sheet-no-such-field': { given: 'text', known: 'list' },
  'sheet-no-such-sheet': { given: 'text', known: 'list' },
  'sheet-no-such-row': { given: 'number' },
  'sheet-unit-not-of-field': { given: 'text', accepted: 'list' },
});
