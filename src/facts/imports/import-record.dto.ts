import { ApiProperty } from '@nestjs/swagger';
import { AuditActor } from '../../keeping/audit/audit.dto.js';
import { FileReading } from '../../platform/csv/import.dto.js';
import { IMPORT_KINDS, type ImportKind } from '../../platform/csv/import-rows.js';
import { Choice } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';

export class ImportsQuery extends PageQueryDto {
  @Choice(IMPORT_KINDS, { optional: true, description: 'What the file brought' }) kind?: ImportKind;
}

const count = { type: 'integer', minimum: 0 } as const;

export class ImportUndoing {
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ type: () => AuditActor }) by!: AuditActor;
  @ApiProperty({ ...count, description: 'Removed' }) vehicles!: number;
  @ApiProperty({ ...count, description: 'Voided, without those of job reports' }) usageReadings!: number;
  @ApiProperty({ ...count, description: 'Voided' }) jobReports!: number;
}

/** An imported file. */
export class ImportView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: IMPORT_KINDS, description: 'What the file brought' }) kind!: ImportKind;
  @ApiProperty({ type: String, nullable: true, description: 'As its sender named it' })
  fileName!: string | null;
  @ApiProperty({ description: 'Of the file, as hexadecimal digits' }) sha256!: string;
  @ApiProperty({ format: 'date-time' }) importedAt!: string;
  @ApiProperty({ type: () => AuditActor }) by!: AuditActor;
  @ApiProperty(count) rows!: number;
  @ApiProperty(count) accepted!: number;
  @ApiProperty(count) duplicate!: number;
  @ApiProperty(count) held!: number;
  @ApiProperty(count) rejected!: number;
  @ApiProperty({ type: () => FileReading, description: 'How the file was understood' }) reading!: FileReading;
  @ApiProperty({ type: () => ImportUndoing, nullable: true, description: 'Null: it stands' })
  undone!: ImportUndoing | null;
}

export const ImportPage = pageClass(ImportView, 'ImportPage');
