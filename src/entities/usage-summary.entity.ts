import { Column, Entity, ForeignKey, PrimaryColumn } from 'typeorm';
import type { Checkpoint, DailyRate } from '../domain/usage/types.js';
import type { PackedMemory } from '../domain/usage/pack-memory.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * What a vehicle's readings say of its use: a conclusion, refreshed with the facts that change it.
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
  /** Lifetime distance less what the counter shows. */
  @Column('double precision', { nullable: true }) odometerOffsetKm!: number | null;
  @Column('timestamp with time zone', { nullable: true }) engineHoursReadAt!: Date | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('double precision', { nullable: true }) engineHoursOffset!: number | null;
  @Column('jsonb', { nullable: true }) distanceRate!: DailyRate | null;
  @Column('jsonb', { nullable: true }) engineHoursRate!: DailyRate | null;
  /** Places from which judging the readings can be taken up again without reading all of them. */
  @Column('jsonb', { default: [] }) checkpoints!: Checkpoint[];
  /**
   * What the readings come down to for going on without reading them again; null where nothing was
   * concluded of them yet.
   */
  @Column('json', { nullable: true }) memory!: PackedMemory | null;
  /** The instant of the newest checkpoint, which is remembered. */
  @Column('timestamp with time zone', { nullable: true }) rememberedUntil!: Date | null;
  /** The instant of the last of the stored checkpoints. */
  @Column('timestamp with time zone', { nullable: true }) checkpointsUntil!: Date | null;
}
