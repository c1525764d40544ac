import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import type { Language } from '../platform/words/languages.js';
import type { PersonRole } from '../platform/scope/roles.js';
import { Fleet } from './fleet.entity.js';

/** Somebody who works for the fleet. */
@Entity('people')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'people_fleet_fk' })
@Unique('people_badge_uq', ['fleetId', 'badge'])
@Unique('people_subject_uq', ['fleetId', 'subject'])
@Check('people_role_ck', `"role" in ('manager', 'mechanic', 'dashboard', 'driver')`)
@Check('people_depots_ck', `"depot_ids" <> '{}' and ("depot_ids" is null or "role" <> 'manager')`)
@Index('people_name_ix', ['fleetId', 'name', 'id'])
export class Person {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'people_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'people_pk' }) id!: string;
  @Column('text') name!: string;
  /** What is printed on the badge, or a payroll number. */
  @Column('text', { nullable: true }) badge!: string | null;
  /** Who the person is at the OpenID Connect provider. */
  @Column('text', { nullable: true }) subject!: string | null;
  @Column('text') role!: PersonRole;
  /** The depots whose vehicles the person can see. Null: the whole fleet. */
  @Column('uuid', { array: true, nullable: true }) depotIds!: string[] | null;
  /** Null: the fleet's language. */
  @Column('text', { nullable: true }) language!: Language | null;
  /** When the person left; null while active. */
  @Column('timestamp with time zone', { nullable: true }) leftAt!: Date | null;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}
