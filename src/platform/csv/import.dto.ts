import { ApiProperty } from '@nestjs/swagger';
import { UNITS } from '../../domain/quantities/units.js';
import { DryRunQueryDto } from '../http/dry-run-query.dto.js';
import { Choice } from '../http/fields.js';

export class ImportQuery extends DryRunQueryDto {
  @Choice(['true', 'false'], {
    optional: true,
    description: 'true: keep the rows that are good; otherwise all are kept or none',
  })
  partial?: string;
}

const count = { type: 'integer', minimum: 0 } as const;

export class ImportNotice {
  @ApiProperty({ ...count, required: false, description: 'Line of the file, from 1' }) line?: number;
  @ApiProperty({ required: false, description: 'As the header names it' }) column?: string;
  @ApiProperty() detail!: string;
}

export class ImportFault extends ImportNotice {
  @ApiProperty({ required: false, description: 'What stands in the cell' }) value?: string;
}

class ReadColumn {
  @ApiProperty({ description: 'As the file names it' }) header!: string;
  @ApiProperty({ description: 'As the API names it' }) column!: string;
  @ApiProperty({ enum: UNITS, nullable: true, type: String, description: 'In which its numbers were read' })
  unit!: string | null;
}

class FileReading {
  @ApiProperty({ enum: ['utf-8', 'windows-1252', 'utf-16'] }) encoding!: string;
  @ApiProperty({ enum: ['comma', 'semicolon', 'tab'] }) delimiter!: string;
  @ApiProperty({ type: () => [ReadColumn] }) columns!: ReadColumn[];
}

/** What became of a file. */
export class ImportAnswer {
  @ApiProperty({ description: 'Tried out only: nothing was kept' }) dryRun!: boolean;
  @ApiProperty(count) rows!: number;
  @ApiProperty({ ...count, description: 'Kept, and new' }) accepted!: number;
  @ApiProperty({ ...count, description: 'Known already; they change nothing' }) duplicate!: number;
  @ApiProperty({ ...count, description: 'Usage readings kept and not believed, until someone accepts them' })
  held!: number;
  @ApiProperty({ ...count, description: 'Not kept' }) rejected!: number;
  @ApiProperty({ type: () => [ImportFault], description: 'Why rows were not kept, the first 100 by line' })
  errors!: ImportFault[];
  @ApiProperty({ ...count, description: 'How many more there are' }) errorsLeftOut!: number;
  @ApiProperty({
    type: () => [ImportNotice],
    description: 'What else is worth knowing, the first 100 by line',
  })
  notices!: ImportNotice[];
  @ApiProperty(count) noticesLeftOut!: number;
  @ApiProperty({ type: () => FileReading, description: 'How the file was understood' }) reading!: FileReading;
}
