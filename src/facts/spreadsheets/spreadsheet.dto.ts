import { UNITS, type Unit } from '../../domain/quantities/units.js';
import { DATE_ORDERS, type DateOrder } from '../../domain/spreadsheets/dates.js';
import { SHEET_KINDS, type SheetKind } from '../../domain/spreadsheets/fields.js';
import { DECIMAL_MARKS, type DecimalMark } from '../../domain/spreadsheets/numbers.js';
import { ByteOrderMark } from '../../platform/csv/csv-answer.js';
import { Amount, Choice, NestedList, Text } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';

export class UploadQuery {
  @Choice(SHEET_KINDS, { optional: true, description: 'What the file brings; guessed if left out' })
  kind?: SheetKind;

  @Text({ optional: true, max: 100, description: 'Which sheet of a workbook; the largest if left out' })
  sheet?: string;

  @Text({ optional: true, max: 200, description: 'What the file is called; a form gives it by itself' })
  fileName?: string;
}

export class TakeQuery {
  @Choice(['true', 'false'], {
    optional: true,
    description: 'true: keep the good rows; otherwise all rows are kept, or none',
  })
  partial?: string;
}

export class FinalTakeQuery extends TakeQuery {
  @Choice(['true', 'false'], {
    optional: true,
    description: 'true: keep the rows here, to take them as another kind; otherwise they are removed',
  })
  keep?: string;
}

export class RefusedRowsQuery {
  @ByteOrderMark() bom?: string;
}

export class SpreadsheetsQuery extends PageQueryDto {}

/** What a column is. What is left out stays as it was. */
export class ColumnChoiceInput {
  @Text({ max: 3, description: 'The letters of the column, such as C' }) column!: string;

  @Text({ optional: true, max: 40, description: 'One of `fields`; null leaves the column out' })
  field?: string | null;

  @Choice(UNITS, { optional: true, description: 'The unit of its numbers' })
  unit?: Unit | null;

  @Choice(DECIMAL_MARKS, { optional: true, description: 'The decimal mark of its numbers' })
  decimal?: DecimalMark | null;

  @Choice(DATE_ORDERS, { optional: true, description: 'What comes first in dates such as 3/4/2021' })
  dateOrder?: DateOrder | null;
}

export class ValueChoiceInput {
  @Text({ max: 500, description: 'As the file writes it' }) given!: string;
  @Text({ max: 120, description: 'What is read in its place' }) use!: string;
}

export class AnswerInput {
  @Text({ max: 80, description: 'The id of the question' }) question!: string;
  @Text({ optional: true, max: 100, description: 'One of its options; null takes the answer back' })
  option?: string | null;
  @NestedList(() => ValueChoiceInput, {
    optional: true,
    max: 2000,
    description: 'What single values of the question stand for, whatever the option',
  })
  values?: ValueChoiceInput[] | null;
}

/** What the client confirms or changes. What is left out stays as it was. */
export class MappingInput {
  @Choice(SHEET_KINDS, { optional: true, description: 'What the file brings' }) kind?: SheetKind | null;
  @Text({ optional: true, max: 100, description: 'Which sheet' }) sheet?: string | null;
  @Amount({
    optional: true,
    min: 1,
    max: 1_048_576,
    integer: true,
    description: 'The row that names the columns',
  })
  headerRow?: number | null;
  @NestedList(() => ColumnChoiceInput, { optional: true, max: 200 }) columns?: ColumnChoiceInput[] | null;
  @NestedList(() => AnswerInput, { optional: true, max: 200 }) answers?: AnswerInput[] | null;
}
