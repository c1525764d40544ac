import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { Evaluation } from '../domain/evaluation/evaluation.js';
import { Vehicle } from './vehicle.entity.js';
import { Reading } from './reading.entity.js';

/**
 * A second verdict on a reading, by limits that changed after it was taken. Append-only. The
 * reading keeps its first verdict.
 */
@Entity('re_evaluations')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 're_evaluations_vehicle_fk' })
@ForeignKey(() => Reading, ['fleetId', 'readingId'], ['fleetId', 'id'], { name: 're_evaluations_reading_fk' })
@Check(
  're_evaluations_why_ck',
  `"why" in ('moved-to-another-depot', 'depot-low-temperature', 'vehicle-low-temperature')`,
)
@Index('re_evaluations_reading_ix', ['fleetId', 'readingId', 'judgedAt'])
@Index('re_evaluations_vehicle_ix', ['fleetId', 'vehicleId', 'judgedAt', 'id'])
export class ReEvaluation {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 're_evaluations_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 're_evaluations_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('uuid') readingId!: string;
  @Column('timestamp with time zone') judgedAt!: Date;
  @Column('jsonb') evaluation!: Evaluation;
  @Column('jsonb') limits!: Record<string, unknown>;
  @Column('text') why!: string;
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
}
