import { Column, Entity, ForeignKey, PrimaryColumn } from 'typeorm';
import { SpecSheet } from './spec-sheet.entity.js';

/**
 * What the vehicles of a spec sheet lose when nothing is wrong. A conclusion, drawn at night. It is
 * updated only when it has changed noticeably, because the stored alerts of the vehicles were
 * concluded with it.
 */
@Entity('loss_cohorts')
@ForeignKey(() => SpecSheet, ['fleetId', 'specSheetId'], ['fleetId', 'id'], {
  name: 'loss_cohorts_spec_sheet_fk',
  onDelete: 'CASCADE',
})
export class LossCohortRow {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'loss_cohorts_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'loss_cohorts_pk' }) specSheetId!: string;
  /** L per 1,000 km. */
  @Column('double precision') mu0!: number;
  @Column('double precision') sigma!: number;
  /** How many vehicles it was computed from. */
  @Column('integer') vehicles!: number;
  @Column('timestamp with time zone') computedAt!: Date;
}
