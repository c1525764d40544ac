import { messages } from '../../../domain/message.js';

export const message = messages({
  'sheet-file-empty': {},
  'sheet-file-too-large': { mebibytes: 'number' },
  'sheet-file-old-excel': {},
  'sheet-file-page': {},
  'sheet-file-not-sheet': {},
  'sheet-file-zip-other': {},
  'sheet-file-damaged': {},
  'sheet-file-encrypted': {},
  'sheet-file-unpacks-too-far': { mebibytes: 'number' },
  'sheet-file-too-many-parts': { most: 'number' },
  'sheet-file-too-many-sheets': { most: 'number' },
  'sheet-file-no-rows': {},
  'sheet-too-many-rows': { sheet: 'text', most: 'number' },
  'sheet-too-many-columns': { sheet: 'text', most: 'number' },
  'sheet-cell-too-long': { most: 'number' },
  'sheet-too-much-text': {},
  'sheet-read-too-slowly': {},
});
