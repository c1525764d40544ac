import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { Fleet } from './fleet.entity.js';
import { Person } from './person.entity.js';
import type { Language } from '../platform/words/languages.js';
import type { Role } from '../platform/scope/roles.js';

@Entity('access_tokens')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'access_tokens_fleet_fk' })
@ForeignKey(() => Person, ['fleetId', 'personId'], ['fleetId', 'id'], { name: 'access_tokens_person_fk' })
@Unique('access_tokens_hash_uq', ['hash'])
@Index('access_tokens_person_ix', ['fleetId', 'personId'], { where: 'person_id is not null' })
@Check(
  'access_tokens_depots_ck',
  `"depot_ids" <> '{}' and ("depot_ids" is null or "role" not in ('manager', 'telematics'))`,
)
@Check(
  'access_tokens_role_ck',
  `"role" in ('manager', 'mechanic', 'driver', 'dashboard', 'calendar', 'telematics')`,
)
@Check('access_tokens_source_ck', `"telematics_source_id" is null or "role" = 'telematics'`)
export class AccessToken {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'access_tokens_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'access_tokens_pk' }) id!: string;
  @Column('text') name!: string;
  @Column('text') role!: Role;
  /** SHA-256 of the token. The token itself is shown once and never stored. */
  @Column('bytea') hash!: Buffer;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) expiresAt!: Date | null;
  @Column('timestamp with time zone', { nullable: true }) revokedAt!: Date | null;
  /** The depots whose vehicles the token can see. Null: the whole fleet. */
  @Column('uuid', { array: true, nullable: true }) depotIds!: string[] | null;
  /** The language of the responses. Null: the fleet's language. */
  @Column('text', { nullable: true }) language!: Language | null;
  /** The one telematics source that it may post to. Null: all of the fleet. */
  @Column('uuid', { nullable: true }) telematicsSourceId!: string | null;
  /** Whose it is. Null: nobody's in particular, such as a dashboard's. */
  @Column('uuid', { nullable: true }) personId!: string | null;
  /** Accurate to the minute. */
  @Column('timestamp with time zone', { nullable: true }) lastUsedAt!: Date | null;
}
