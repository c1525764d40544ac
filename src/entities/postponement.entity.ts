import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Vehicle } from './vehicle.entity.js';
import { DueLine } from './due-line.entity.js';

/**
 * Records that a manager postponed a due line, until when and why, once for a line and cycle. Keeps
 * the due point before and after. A postponement that is withdrawn stays on record and counts for
 * nothing.
 */
@Entity('postponements')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'postponements_vehicle_fk' })
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'postponements_due_line_fk' })
@Index('postponements_once_uq', ['fleetId', 'dueLineId', 'cycle'], {
  unique: true,
  where: 'withdrawn_at is null',
})
@Check('postponements_withdrawn_ck', `("withdrawn_at" is null) = ("withdrawn_reason" is null)`)
@Index('postponements_vehicle_ix', ['fleetId', 'vehicleId', 'at', 'id'])
export class Postponement {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'postponements_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'postponements_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('uuid') dueLineId!: string;
  /** What the line counted from: the job, the reading or the day in service. */
  @Column('text') cycle!: string;
  @Column('text') reason!: string;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone') at!: Date;
  /**
   * The day to which the line was postponed. If it was postponed to a usage, the day on which it
   * becomes due whatever the counter shows.
   */
  @Column('date') untilOn!: string;
  @Column('double precision', { nullable: true }) untilOdometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) untilEngineHoursLifetime!: number | null;
  @Column('date') oldDueOn!: string;
  @Column('date', { nullable: true }) oldDueDate!: string | null;
  @Column('double precision', { nullable: true }) oldDueOdometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) oldDueEngineHoursLifetime!: number | null;
  @Column('date') newDueOn!: string;
  @Column('timestamp with time zone', { nullable: true }) withdrawnAt!: Date | null;
  /** The token that withdrew it. */
  @Column('uuid', { nullable: true }) withdrawnBy!: string | null;
  @Column('text', { nullable: true }) withdrawnReason!: string | null;
}
