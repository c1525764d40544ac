import { Column, Entity, ForeignKey, PrimaryColumn } from 'typeorm';
import { SpecSheet } from './spec-sheet.entity.js';

/**
 * What the vehicles of a spec sheet lose when nothing is wrong: a conclusion, drawn at night. It
 * stays as it is until it has moved noticeably, for what is stored of
 * the vehicles' alerts was concluded by it.
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
  /** How many vehicles it was drawn from. */
  @Column('integer') vehicles!: number;
  @Column('timestamp with time zone') computedAt!: Date;
}
