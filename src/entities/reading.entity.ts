import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { Evaluation } from '../domain/evaluation/evaluation.js';

import { JobReport } from './job-report.entity.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * A measurement taken at a job or by itself, with the verdict it was given and the limits it was
 * judged by; append-only.
 */
@Entity('readings')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'readings_vehicle_fk' })
@ForeignKey(() => JobReport, ['fleetId', 'jobReportId'], ['fleetId', 'id'], {
  name: 'readings_job_report_fk',
})
@Index('readings_alone_ix', ['fleetId', 'vehicleId', 'takenAt', 'id'], { where: `job_report_id is null` })
@Index('readings_vehicle_ix', ['fleetId', 'vehicleId', 'takenAt', 'id'])
@Index('readings_job_report_ix', ['fleetId', 'jobReportId', 'position'], {
  where: `job_report_id is not null`,
})
@Index('readings_failed_ix', ['fleetId', 'receivedAt', 'id'], {
  where: `evaluation ->> 'verdict' = 'fail' and voided_at is null`,
})
export class Reading {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'readings_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'readings_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('uuid', { nullable: true }) jobReportId!: string | null;
  @Column('integer', { nullable: true }) position!: number | null;
  @Column('text') kind!: string;
  @Column('timestamp with time zone') takenAt!: Date;
  @Column('double precision', { nullable: true }) odometerKm!: number | null;
  @Column('double precision', { nullable: true }) engineHours!: number | null;
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  /** As it was typed, units and all. */
  @Column('jsonb') typed!: Record<string, unknown>;
  /** The same in canonical units: what the rules compute with. */
  @Column('jsonb') canonical!: Record<string, unknown>;
  @Column('jsonb') evaluation!: Evaluation;
  /** The limits and the atmosphere it was judged by. */
  @Column('jsonb') limits!: Record<string, unknown>;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
}
