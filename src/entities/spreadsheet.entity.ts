import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { SheetAnalysis } from '../domain/spreadsheets/analyse.js';
import type { SheetFacts } from '../domain/spreadsheets/ask-values.js';
import type { Choices } from '../domain/spreadsheets/mapping.js';
import type { Message } from '../domain/message.js';
import { Fleet } from './fleet.entity.js';

/** A sheet of a file. */
export interface KeptSheet {
  name: string;
  rows: number;
  is1904: boolean;
}

/** A spreadsheet that waits to be taken: how it is understood so far. Its rows are kept beside it. */
@Entity('spreadsheets')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'spreadsheets_fleet_fk' })
@Check('spreadsheets_format_ck', `"format" in ('xlsx', 'csv')`)
@Index('spreadsheets_time_ix', ['fleetId', 'receivedAt', 'id'])
@Index('spreadsheets_kept_ix', ['fleetId', 'keptUntil'])
export class Spreadsheet {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spreadsheets_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spreadsheets_pk' }) id!: string;
  @Column('text', { nullable: true }) fileName!: string | null;
  @Column('text') format!: 'xlsx' | 'csv';
  @Column('text', { nullable: true }) encoding!: string | null;
  @Column('text', { nullable: true }) delimiter!: string | null;
  @Column('integer') sizeBytes!: number;
  @Column('bytea') sha256!: Buffer;
  @Column('timestamp with time zone') receivedAt!: Date;
  /** When the file and all that is known of it is removed. */
  @Column('timestamp with time zone') keptUntil!: Date;
  @Column('jsonb') sheets!: KeptSheet[];
  /** Sheets that could not be read, and why. */
  @Column('jsonb') unread!: { name: string; why: Message }[];
  /** The sheet that was looked at. */
  @Column('text') sheet!: string;
  @Column('jsonb') choices!: Choices;
  /** What was found, without the texts of single cells. */
  @Column('jsonb') analysis!: SheetAnalysis;
  @Column('jsonb') facts!: SheetFacts;
  /** When the mapping was made that was used again here. */
  @Column('timestamp with time zone', { nullable: true }) mappingFrom!: Date | null;
  @Column('integer', { default: 1 }) version!: number;
  /** When its rows were taken, and by which import. Null while it waits. */
  @Column('timestamp with time zone', { nullable: true }) takenAt!: Date | null;
  @Column('uuid', { nullable: true }) importId!: string | null;
  /** Whether its rows are still kept. */
  @Column('boolean', { default: true }) hasRows!: boolean;
}

/** Some rows of a sheet, packed. */
@Entity('spreadsheet_pieces')
@ForeignKey(() => Spreadsheet, ['fleetId', 'spreadsheetId'], ['fleetId', 'id'], {
  name: 'spreadsheet_pieces_spreadsheet_fk',
  onDelete: 'CASCADE',
})
export class SpreadsheetPiece {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spreadsheet_pieces_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spreadsheet_pieces_pk' }) spreadsheetId!: string;
  /** The place of the sheet in the file, and of the piece in the sheet, from 0. */
  @PrimaryColumn('integer', { primaryKeyConstraintName: 'spreadsheet_pieces_pk' }) sheet!: number;
  @PrimaryColumn('integer', { primaryKeyConstraintName: 'spreadsheet_pieces_pk' }) piece!: number;
  @Column('bytea') rows!: Buffer;
}

/** What was chosen for files with the same header, for the next one. */
@Entity('spreadsheet_mappings')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'spreadsheet_mappings_fleet_fk' })
@Index('spreadsheet_mappings_used_ix', ['fleetId', 'usedAt'])
export class SpreadsheetMapping {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'spreadsheet_mappings_pk' }) fleetId!: string;
  /** Of the header's texts. */
  @PrimaryColumn('bytea', { primaryKeyConstraintName: 'spreadsheet_mappings_pk' }) shape!: Buffer;
  @PrimaryColumn('text', { primaryKeyConstraintName: 'spreadsheet_mappings_pk' }) kind!: string;
  @Column('jsonb') choices!: Choices;
  @Column('timestamp with time zone') usedAt!: Date;
}
