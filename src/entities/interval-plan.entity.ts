import { Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import { Fleet } from './fleet.entity.js';
import type { IntervalRule } from '../domain/intervals/types.js';

/** The rules for one kind of vehicle. */
@Entity('interval_plans')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'interval_plans_fleet_fk' })
@Unique('interval_plans_name_uq', ['fleetId', 'name'])
export class IntervalPlan {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'interval_plans_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'interval_plans_pk' }) id!: string;
  @Column('text') name!: string;
  /**
   * In the order in which they were written. Each component, action, item and circuit occurs once.
   */
  @Column('jsonb', { default: [] }) intervals!: IntervalRule[];
  @Column('integer', { default: 1 }) version!: number;
}
