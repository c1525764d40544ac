import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { Evaluation } from '../domain/evaluation/evaluation.js';
import type { CircuitName } from '../domain/vehicles/circuits.js';

import { FirstCircuit } from './first-circuit.js';
import { JobReport } from './job-report.entity.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * A measurement taken at a job or on its own, with its verdict and the limits it was judged by.
 * Append-only.
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
@Index('readings_failed_taken_ix', ['fleetId', 'takenAt', 'id'], {
  where: `evaluation ->> 'verdict' = 'fail' and voided_at is null`,
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
  /** Null: the vehicle's first. */
  @Column('text', { nullable: true }) circuit!: CircuitName | null;
  @Column('timestamp with time zone') takenAt!: Date;
  @Column('double precision', { nullable: true }) odometerKm!: number | null;
  @Column('double precision', { nullable: true }) engineHours!: number | null;
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  /** As it was typed, including the units. */
  @Column('jsonb') typed!: Record<string, unknown>;
  /** The same values in canonical units. The rules compute with these. */
  @Column('jsonb') canonical!: Record<string, unknown>;
  @Column('jsonb') evaluation!: Evaluation;
  /** The limits and the atmospheric pressure it was judged by. */
  @Column('jsonb') limits!: Record<string, unknown>;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
  @FirstCircuit() firstCircuit!: CircuitName | null;
}
