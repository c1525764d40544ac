import { Check, Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import { Fleet } from './fleet.entity.js';
import type { IntervalRule } from '../domain/intervals/types.js';

/** The rules for one kind of vehicle. */
@Entity('interval_plans')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'interval_plans_fleet_fk' })
@Unique('interval_plans_name_uq', ['fleetId', 'name'])
@Check('interval_plans_confirmed_ck', `("confirmed_at" is null) = ("confirmed_by" is null)`)
export class IntervalPlan {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'interval_plans_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'interval_plans_pk' }) id!: string;
  @Column('text') name!: string;
  /**
   * In the order in which they were written. Each component, action, item and circuit occurs once.
   */
  @Column('jsonb', { default: [] }) intervals!: IntervalRule[];
  @Column('integer', { default: 1 }) version!: number;
  /** The ready-made set that it was taken from; null: from none. */
  @Column('text', { nullable: true }) starterSet!: string | null;
  /** When a manager said that it is right for the fleet's vehicles, and who. */
  @Column('timestamp with time zone', { nullable: true }) confirmedAt!: Date | null;
  @Column('text', { nullable: true }) confirmedByKind!: string | null;
  /** The token's id, or the subject of the sign-in. */
  @Column('text', { nullable: true }) confirmedBy!: string | null;
}
