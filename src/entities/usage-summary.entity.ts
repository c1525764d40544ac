import { Column, Entity, ForeignKey, PrimaryColumn } from 'typeorm';
import type { Checkpoint, DailyRate } from '../domain/usage/types.js';
import type { PackedMemory } from '../domain/usage/pack-memory.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * What the readings of a vehicle say about its use. A conclusion, refreshed with the facts that
 * change it.
 */
@Entity('usage_summaries')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], {
  name: 'usage_summaries_vehicle_fk',
})
export class UsageSummary {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'usage_summaries_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'usage_summaries_pk' }) vehicleId!: string;
  @Column('timestamp with time zone', { nullable: true }) odometerReadAt!: Date | null;
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  /** Lifetime distance minus what the counter shows. */
  @Column('double precision', { nullable: true }) odometerOffsetKm!: number | null;
  @Column('timestamp with time zone', { nullable: true }) engineHoursReadAt!: Date | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('double precision', { nullable: true }) engineHoursOffset!: number | null;
  @Column('jsonb', { nullable: true }) distanceRate!: DailyRate | null;
  @Column('jsonb', { nullable: true }) engineHoursRate!: DailyRate | null;
  /** Points from which judging can restart without reading all of the readings. */
  @Column('jsonb', { default: [] }) checkpoints!: Checkpoint[];
  /**
   * A summary of the readings that lets judging continue without reading them again. Null when
   * nothing has been concluded from them yet.
   */
  @Column('json', { nullable: true }) memory!: PackedMemory | null;
  /** The instant of the newest checkpoint, which is part of `memory`. */
  @Column('timestamp with time zone', { nullable: true }) rememberedUntil!: Date | null;
  /** The instant of the last stored checkpoint. */
  @Column('timestamp with time zone', { nullable: true }) checkpointsUntil!: Date | null;
}
