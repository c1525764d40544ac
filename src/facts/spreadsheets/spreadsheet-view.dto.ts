import { ApiProperty } from '@nestjs/swagger';
import { UNITS } from '../../domain/quantities/units.js';
import { DATE_ORDERS } from '../../domain/spreadsheets/dates.js';
import { SHEET_KINDS, type SheetKind } from '../../domain/spreadsheets/fields.js';
import { DECIMAL_MARKS } from '../../domain/spreadsheets/numbers.js';
import { pageClass } from '../../platform/pages/pages.js';
import { MessageView } from '../../platform/words/message.dto.js';

const count = { type: 'integer', minimum: 0 } as const;
const text = { type: String, nullable: true } as const;
const row = { type: 'integer', minimum: 1, description: 'Row of the sheet, or line of the file' } as const;

class SheetOfFile {
  @ApiProperty() name!: string;
  @ApiProperty({ ...count, description: 'Rows that hold something, titles and header included' })
  rows!: number;
}

class SeenRow {
  @ApiProperty(row) row!: number;
  @ApiProperty({ description: 'What it holds' }) value!: string;
}

class ExampleView extends SeenRow {
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Why it is doubtful' })
  why!: MessageView | null;
}

class SampleView extends SeenRow {
  @ApiProperty({ ...text, description: 'How it is read: a plain number, a date, or a text' }) read!:
    string | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Why it cannot be read' })
  fault!: MessageView | null;
}

export class SheetColumnView {
  @ApiProperty({ description: 'Its letters, such as C' }) column!: string;
  @ApiProperty({ description: 'As the file names it' }) header!: string;
  @ApiProperty({ ...text, description: 'What it is. Null: it is left out' }) field!: string | null;
  @ApiProperty({ type: () => MessageView, nullable: true }) label!: MessageView | null;
  @ApiProperty({ ...text, enum: ['choice', 'header', 'content'], description: 'What decided that' })
  decidedBy!: string | null;
  @ApiProperty({ ...text, enum: UNITS }) unit!: string | null;
  @ApiProperty({ ...text, enum: ['choice', 'header', 'fleet'], description: 'What the unit follows from' })
  unitBy!: string | null;
  @ApiProperty({ ...text, enum: DECIMAL_MARKS, description: 'Null: it makes no difference, or is asked' })
  decimal!: string | null;
  @ApiProperty({ ...text, enum: DATE_ORDERS, description: 'Null: it makes no difference, or is asked' })
  dateOrder!: string | null;
  @ApiProperty({ ...count, description: 'How many of its cells hold something' }) filled!: number;
  @ApiProperty({ type: () => [SampleView], description: 'Its first different cells' }) samples!: SampleView[];
}

class SheetFieldView {
  @ApiProperty({ description: 'For the mapping' }) field!: string;
  @ApiProperty({ type: () => MessageView }) label!: MessageView;
  @ApiProperty({ enum: ['text', 'name', 'word', 'number', 'date', 'instant'] }) holds!: string;
  @ApiProperty({ description: 'No row can be taken without it, or another of its group' }) isNeeded!: boolean;
  @ApiProperty({ ...text, description: 'The column that it is read from' }) column!: string | null;
  @ApiProperty({ type: [String], nullable: true, description: 'The units that it can have' })
  units!: string[] | null;
  @ApiProperty({ type: [String], nullable: true, description: 'The words that it can have' })
  words!: string[] | null;
}

class OptionView {
  @ApiProperty({ description: 'For the answer' }) option!: string;
  @ApiProperty({ type: () => MessageView }) text!: MessageView;
  @ApiProperty() isRecommended!: boolean;
}

class QuestionValueView {
  @ApiProperty({ description: 'As the file writes it' }) given!: string;
  @ApiProperty({ ...count, description: 'How many rows have it' }) rows!: number;
  @ApiProperty({ ...text, description: 'What it stands for, by the answer or as proposed' }) use!:
    string | null;
  @ApiProperty({ ...text, description: 'A known name that is almost the same' }) nearest!: string | null;
}

export class QuestionView {
  @ApiProperty({ example: 'date-order:C' }) id!: string;
  @ApiProperty({ ...text, description: 'The column that it is about' }) column!: string | null;
  @ApiProperty({ description: 'Nothing is taken before it is answered' }) isRequired!: boolean;
  @ApiProperty({ type: () => MessageView }) text!: MessageView;
  @ApiProperty({ type: () => [OptionView] }) options!: OptionView[];
  @ApiProperty({ ...text, description: 'The option that counts. Null: not answered' }) answer!: string | null;
  @ApiProperty({ type: () => [ExampleView] }) examples!: ExampleView[];
  @ApiProperty({ type: () => [QuestionValueView], description: 'The first 200; the answer counts for all' })
  values!: QuestionValueView[];
  @ApiProperty(count) valuesLeftOut!: number;
}

/** A spreadsheet that waits to be taken, and how it is understood. */
export class SpreadsheetView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({
    enum: ['asking', 'ready', 'taken'],
    description: 'asking: a question must be answered first',
  })
  state!: string;
  @ApiProperty(text) fileName!: string | null;
  @ApiProperty({ enum: ['xlsx', 'csv'] }) format!: string;
  @ApiProperty({ ...text, description: 'Null for a workbook' }) encoding!: string | null;
  @ApiProperty({ ...text, description: 'What separates the cells. Null for a workbook' })
  delimiter!: string | null;
  @ApiProperty(count) sizeBytes!: number;
  @ApiProperty({ format: 'date-time' }) receivedAt!: string;
  @ApiProperty({ format: 'date-time', description: 'It is removed then' }) keptUntil!: string;
  @ApiProperty({ description: 'Whether its rows are still here to be taken' }) hasRows!: boolean;
  @ApiProperty({ enum: SHEET_KINDS, description: 'What it brings' }) kind!: SheetKind;
  @ApiProperty({ type: () => MessageView }) kindLabel!: MessageView;
  @ApiProperty({ description: 'The sheet that is read' }) sheet!: string;
  @ApiProperty({ type: () => [SheetOfFile] }) sheets!: SheetOfFile[];
  @ApiProperty({ ...row, description: 'The row that names the columns' }) headerRow!: number;
  @ApiProperty({ type: () => [SeenRow], description: 'Rows above it, which are not read' })
  titles!: SeenRow[];
  @ApiProperty({ ...count, description: 'Records, without the odd rows' }) rows!: number;
  @ApiProperty({ ...count, description: 'Rows that are probably no records' }) oddRows!: number;
  @ApiProperty({ type: () => [SheetColumnView] }) columns!: SheetColumnView[];
  @ApiProperty({ type: () => [SheetFieldView], description: 'All that a column can be' })
  fields!: SheetFieldView[];
  @ApiProperty({ type: () => [QuestionView] }) questions!: QuestionView[];
  @ApiProperty({ type: () => [MessageView], description: 'What the sender should know' })
  notices!: MessageView[];
  @ApiProperty({
    ...text,
    format: 'date-time',
    description: 'When the mapping was made that was used again; null for a new one',
  })
  mappingFrom!: string | null;
  @ApiProperty({ ...text, format: 'date-time' }) takenAt!: string | null;
  @ApiProperty({ ...text, format: 'uuid', description: 'The import that took it' }) importId!: string | null;
  @ApiProperty() version!: number;
}

/** A spreadsheet in the list. */
export class SpreadsheetSummary {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty(text) fileName!: string | null;
  @ApiProperty({ enum: ['xlsx', 'csv'] }) format!: string;
  @ApiProperty({ enum: SHEET_KINDS }) kind!: SheetKind;
  @ApiProperty(count) rows!: number;
  @ApiProperty({ format: 'date-time' }) receivedAt!: string;
  @ApiProperty({ format: 'date-time' }) keptUntil!: string;
  @ApiProperty() hasRows!: boolean;
  @ApiProperty({ ...text, format: 'date-time' }) takenAt!: string | null;
  @ApiProperty({ ...text, format: 'uuid' }) importId!: string | null;
}

export const SpreadsheetPage = pageClass(SpreadsheetSummary, 'SpreadsheetPage');
