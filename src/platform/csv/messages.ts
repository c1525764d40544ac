import { messages } from '../../domain/message.js';

const MARK = ['point', 'comma'] as const;
/** What comes first in a date that ends with its year. */
const FIRST = ['day', 'month'] as const;
const CELLS = { cells: 'number', columns: 'number' } as const;
/** Two cells of one file that contradict each other. */
const TWO_CELLS = {
  firstValue: 'text',
  firstLine: 'number',
  firstColumn: 'text',
  secondValue: 'text',
  secondLine: 'number',
  secondColumn: 'text',
} as const;

export const message = messages({
  'cell-number-unclear': {
    given: 'text',
    mark: MARK,
    whole: 'text',
    fraction: 'text',
    asFraction: 'text',
    byPoint: 'text',
    byComma: 'text',
  },
  'cell-not-number': { given: 'text', has: ['exponent', 'percent', 'unit', 'none'] },
  'cell-not-number-by-mark': { given: 'text', mark: MARK },
  'cell-date-unclear': { given: 'text', dayFirst: 'text', monthFirst: 'text' },
  'cell-not-date-by-order': { given: 'text', comesFirst: FIRST },
  'cell-not-date-otherwise': { fault: 'message' },
  'cell-time-not-in-zone': { given: 'text', zone: 'text' },
  'cell-only-with-decimal': { mark: MARK },
  'cell-only-with-order': { comesFirst: FIRST },
  'cell-was-it': { fault: 'message', meant: 'text' },
  'column-without-unit': { unit: 'text' },
  'column-unit-not-taken': { given: 'text', units: 'list' },
  'column-named-twice': { column: 'text', first: 'text' },
  'column-left-out': { why: 'message' },
  'column-unknown': {},
  'column-misspelt': { meant: 'text' },
  'column-missing': { count: 'number', columns: 'list' },
  'header-too-long': { count: 'number', most: 'number' },
  'row-too-short': CELLS,
  'row-too-long': CELLS,
  'row-number-split': { left: 'text', right: 'text' },
  'file-decimals-contradict': { ...TWO_CELLS, firstMark: MARK, secondMark: MARK },
  'file-dates-contradict': { ...TWO_CELLS, firstComesFirst: FIRST, secondComesFirst: FIRST },
  'file-too-many-rows': { most: 'number' },
  'file-empty': {},
  'file-not-utf-16': { given: 'text' },
  'file-without-rows': {},
  'file-quote-open': {},
  'file-row-too-long': { most: 'number' },
  'file-not-csv': {},
  'file-too-large': { mebibytes: 'number' },
  'file-read-as-windows-1252': {},
  'media-type-csv': {},
  'media-type-csv-not': { given: 'text' },
  'charset-not-taken': { given: 'text', accepted: 'list' },
  'import-refused': { rejected: 'number', rows: 'number' },
  'import-under-way': {},
});
