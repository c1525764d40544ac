import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Fleet } from './fleet.entity.js';
import type { FileReading } from '../platform/csv/import.dto.js';
import type { ImportKind } from '../platform/csv/import-rows.js';
import type { Role } from '../platform/scope/roles.js';

/** An imported file and what became of its rows. Every record that it brought names it. */
@Entity('imports')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'imports_fleet_fk' })
@Check('imports_kind_ck', `"kind" in ('vehicles', 'usage-readings', 'job-reports')`)
@Check('imports_undone_ck', `("undone_at" is null) = ("undone_by" is null)`)
@Index('imports_time_ix', ['fleetId', 'importedAt', 'id'])
export class Import {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'imports_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'imports_pk' }) id!: string;
  @Column('text') kind!: ImportKind;
  @Column('text', { nullable: true }) fileName!: string | null;
  @Column('bytea') sha256!: Buffer;
  @Column('timestamp with time zone') importedAt!: Date;
  @Column('text') actorKind!: string;
  /** The token's id, or the subject of the sign-in. */
  @Column('text') actor!: string;
  @Column('text', { nullable: true }) role!: Role | null;
  /** Null while the file is being imported, as are the other counts. */
  @Column('integer', { nullable: true }) rows!: number | null;
  @Column('integer', { nullable: true }) accepted!: number | null;
  @Column('integer', { nullable: true }) duplicate!: number | null;
  @Column('integer', { nullable: true }) held!: number | null;
  @Column('integer', { nullable: true }) rejected!: number | null;
  @Column('jsonb', { nullable: true }) reading!: FileReading | null;
  @Column('timestamp with time zone', { nullable: true }) undoneAt!: Date | null;
  @Column('text', { nullable: true }) undoneByKind!: string | null;
  @Column('text', { nullable: true }) undoneBy!: string | null;
  @Column('text', { nullable: true }) undoneByRole!: Role | null;
  @Column('integer', { nullable: true }) undoneVehicles!: number | null;
  @Column('integer', { nullable: true }) undoneUsageReadings!: number | null;
  @Column('integer', { nullable: true }) undoneJobReports!: number | null;
}
