import type { Message } from '../domain/message.js';
import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Import } from './import.entity.js';
import { JobReport } from './job-report.entity.js';
import { Vehicle } from './vehicle.entity.js';

/** `held`: stored, but not believed until someone accepts or discards it. */
export type UsageStatus = 'accepted' | 'held' | 'discarded' | 'voided' | 'duplicate';

/** An odometer or engine-hour value, or both, at an instant. Append-only except for its status. */
@Entity('usage_readings')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'usage_readings_vehicle_fk' })
@ForeignKey(() => JobReport, ['fleetId', 'jobReportId'], ['fleetId', 'id'], {
  name: 'usage_readings_job_report_fk',
})
@ForeignKey(() => Import, ['fleetId', 'importId'], ['fleetId', 'id'], { name: 'usage_readings_import_fk' })
@Check('usage_readings_counter_ck', `"odometer_km" is not null or "engine_hours" is not null`)
@Check('usage_readings_positive_ck', `coalesce("odometer_km", 0) >= 0 and coalesce("engine_hours", 0) >= 0`)
@Check('usage_readings_status_ck', `"status" in ('accepted', 'held', 'discarded', 'voided', 'duplicate')`)
@Index('usage_readings_time_ix', ['fleetId', 'vehicleId', 'readAt', 'id'])
@Index('usage_readings_held_ix', ['fleetId', 'readAt', 'id'], { where: `status = 'held'` })
@Index('usage_readings_job_report_ix', ['fleetId', 'jobReportId'], { where: `job_report_id is not null` })
@Index('usage_readings_import_ix', ['fleetId', 'importId'], { where: `import_id is not null` })
@Index('usage_readings_notable_ix', ['fleetId', 'vehicleId', 'readAt', 'id'], {
  where: `status in ('held', 'discarded', 'voided') or odometer_replaced or engine_hours_replaced`,
})
@Index('usage_readings_once_uq', { synchronize: false })
export class UsageReading {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'usage_readings_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'usage_readings_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('timestamp with time zone') readAt!: Date;
  @Column('double precision', { nullable: true }) odometerKm!: number | null;
  @Column('double precision', { nullable: true }) engineHours!: number | null;
  @Column('boolean', { default: false }) odometerReplaced!: boolean;
  @Column('boolean', { default: false }) engineHoursReplaced!: boolean;
  @Column('text') source!: string;
  /** The unit the odometer was given in. */
  @Column('text', { nullable: true }) odometerUnit!: string | null;
  @Column('uuid', { nullable: true }) jobReportId!: string | null;
  @Column('text') status!: UsageStatus;
  @Column('text', { nullable: true }) reason!: string | null;
  @Column('jsonb', { nullable: true }) detail!: Message | null;
  /** Why it was held when it arrived, whatever the history says. */
  @Column('text', { nullable: true }) heldAtArrival!: string | null;
  @Column('text', { nullable: true }) decision!: 'accepted' | 'discarded' | 'voided' | null;
  /** Why it was discarded, in the words of whoever did. */
  @Column('text', { nullable: true }) decisionReason!: string | null;
  @Column('timestamp with time zone', { nullable: true }) decidedAt!: Date | null;
  /**
   * Distance over the vehicle's life, continued across counter replacements. Null unless accepted.
   */
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  /** The imported file that brought it, if any. */
  @Column('uuid', { nullable: true }) importId!: string | null;
  /** Voided because its import was undone. The same reading may be imported again. */
  @Column('boolean', { default: false }) isUndone!: boolean;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) recordedAt!: Date;
}
