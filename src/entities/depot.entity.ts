import { Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import type { Weekday } from '../domain/visits/working-days.js';
import { Fleet } from './fleet.entity.js';

/** A place where vehicles are kept and worked at. */
@Entity('depots')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'depots_fleet_fk' })
@Unique('depots_name_uq', ['fleetId', 'name'])
export class Depot {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'depots_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'depots_pk' }) id!: string;
  @Column('text') name!: string;
  @Column('double precision', { nullable: true }) elevationM!: number | null;
  /** The lowest temperature that the coolant must protect against here. */
  @Column('double precision', { nullable: true }) designLowTemperatureC!: number | null;
  @Column('double precision', { nullable: true }) labourHoursPerDay!: number | null;
  /** Null: Monday to Friday. */
  @Column('text', { array: true, nullable: true }) workingDays!: Weekday[] | null;
  /** Further days on which it is closed, 'YYYY-MM-DD'. */
  @Column('text', { array: true, default: [] }) closedOn!: string[];
  @Column('integer', { default: 1 }) version!: number;
}
