import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { UNITS } from '../../domain/quantities/units.js';
import { DryRunQueryDto } from '../input/dry-run-query.dto.js';
import { Choice, Text } from '../fields/fields.js';
import { DATE_ORDERS, type DateOrder } from '../../domain/spreadsheets/dates.js';
import { ENCODINGS } from './encodings.js';
import { DECIMAL_MARKS, type DecimalMark } from '../../domain/spreadsheets/numbers.js';

export class ImportQuery extends DryRunQueryDto {
  @Choice(['true', 'false'], {
    optional: true,
    description: 'true: keep the good rows; otherwise all rows are kept, or none',
  })
  partial?: string;

  @Choice(DECIMAL_MARKS, {
    optional: true,
    description:
      'The decimal mark of the numbers in the file. If left out, it is taken from the file; a row that can be read in two ways is then refused',
  })
  decimal?: DecimalMark;

  @Choice(DATE_ORDERS, {
    optional: true,
    description:
      'Which comes first in dates such as 3/4/2021. If left out, it is taken from the file; a row that can be read in two ways is then refused',
  })
  dateOrder?: DateOrder;

  @Text({ optional: true, max: 200, description: 'What the file is called, for the list of imports' })
  fileName?: string;
}

const count = { type: 'integer', minimum: 0 } as const;

export class ImportNotice {
  @ApiProperty({ ...count, required: false, description: 'Line of the file, from 1' }) line?: number;
  @ApiProperty({ required: false, description: 'As the header names it' }) column?: string;
  @ApiProperty({ required: false, description: 'Stable', example: 'field-not-flag' }) code?: string;
  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'The values in the detail, as data',
  })
  values?: Record<string, unknown>;
  @ApiProperty({ description: 'In plain words, in the language of the answer' }) detail!: string;
}

export class ImportFault extends ImportNotice {
  @ApiProperty({ required: false, description: 'What the cell holds' }) value?: string;
}

class ReadColumn {
  @ApiProperty({ description: 'As the file names it' }) header!: string;
  @ApiProperty({ description: 'As the API names it' }) column!: string;
  @ApiProperty({ enum: UNITS, nullable: true, type: String, description: 'How its numbers were read' })
  unit!: string | null;
}

class DecidingCell {
  @ApiProperty({ ...count, description: 'Line of the file, from 1' }) line!: number;
  @ApiProperty({ description: 'As the header names it' }) column!: string;
  @ApiProperty({ description: 'What the cell holds' }) value!: string;
}

const decidedBy = {
  enum: ['request', 'cell'],
  nullable: true,
  type: String,
  description: 'What decided: the request, or a cell that can only be read one way. Null: nothing did',
} as const;

const decidingCell = {
  type: () => DecidingCell,
  nullable: true,
  description: 'The first cell that can only be read one way',
} as const;

class DecimalReading {
  @ApiProperty({ enum: DECIMAL_MARKS, nullable: true, type: String }) value!: string | null;
  @ApiProperty(decidedBy) decidedBy!: string | null;
  @ApiProperty(decidingCell) cell!: DecidingCell | null;
}

class DateOrderReading {
  @ApiProperty({ enum: DATE_ORDERS, nullable: true, type: String }) value!: string | null;
  @ApiProperty(decidedBy) decidedBy!: string | null;
  @ApiProperty(decidingCell) cell!: DecidingCell | null;
}

export class FileReading {
  @ApiProperty({ enum: ENCODINGS, nullable: true, type: String, description: 'Null for a workbook' })
  encoding!: string | null;
  @ApiProperty({
    enum: ['comma', 'semicolon', 'tab', 'bar'],
    nullable: true,
    type: String,
    description: 'Null for a workbook',
  })
  delimiter!: string | null;
  @ApiProperty({ type: () => [ReadColumn] }) columns!: ReadColumn[];
  @ApiProperty({ type: () => DecimalReading, description: 'The decimal mark of its numbers' })
  decimal!: DecimalReading;
  @ApiProperty({
    type: () => DateOrderReading,
    description: 'Which came first in dates that end with their year',
  })
  dateOrder!: DateOrderReading;
}

/** The outcome of an import. */
export class ImportAnswer {
  @ApiProperty({ description: 'A trial run; nothing was stored' }) dryRun!: boolean;
  @ApiProperty({
    format: 'uuid',
    nullable: true,
    type: String,
    description: 'For undoing it: POST /v1/imports/{id}/undo. Null if nothing was stored',
  })
  importId!: string | null;
  @ApiProperty(count) rows!: number;
  @ApiProperty({ ...count, description: 'Kept, and new' }) accepted!: number;
  @ApiProperty({ ...count, description: 'Known already; they change nothing' }) duplicate!: number;
  @ApiProperty({ ...count, description: 'Usage readings held back until someone accepts them' })
  held!: number;
  @ApiProperty({ ...count, description: 'Not kept' }) rejected!: number;
  @ApiProperty({ type: () => [ImportFault], description: 'Why rows were not kept, the first 100 by line' })
  errors!: ImportFault[];
  @ApiProperty({ ...count, description: 'How many more there are' }) errorsLeftOut!: number;
  @ApiProperty({
    type: () => [ImportNotice],
    description: 'Further notices, the first 100 by line',
  })
  notices!: ImportNotice[];
  @ApiProperty(count) noticesLeftOut!: number;
  @ApiProperty({ type: () => FileReading, description: 'How the file was understood' }) reading!: FileReading;
}
