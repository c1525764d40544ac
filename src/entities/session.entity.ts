import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { AccessToken } from './access-token.entity.js';
import { Person } from './person.entity.js';

/** A browser that is signed in, for a person or with a token. */
@Entity('sessions')
@ForeignKey(() => Person, ['fleetId', 'personId'], ['fleetId', 'id'], { name: 'sessions_person_fk' })
@ForeignKey(() => AccessToken, ['fleetId', 'tokenId'], ['fleetId', 'id'], { name: 'sessions_token_fk' })
@Unique('sessions_hash_uq', ['hash'])
@Check('sessions_holder_ck', `num_nonnulls("person_id", "token_id") = 1`)
@Index('sessions_person_ix', ['fleetId', 'personId', 'createdAt', 'id'], { where: 'person_id is not null' })
@Index('sessions_token_ix', ['fleetId', 'tokenId', 'createdAt', 'id'], { where: 'token_id is not null' })
export class Session {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sessions_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sessions_pk' }) id!: string;
  /** Who signed in by a link. Null for a session that an access token opened. */
  @Column('uuid', { nullable: true }) personId!: string | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  /** SHA-256 of what the cookie holds. */
  @Column('bytea') hash!: Buffer;
  /** What a person recognises the device by. */
  @Column('text', { nullable: true }) device!: string | null;
  @Column('timestamp with time zone') createdAt!: Date;
  /** Accurate to the day. */
  @Column('timestamp with time zone') lastUsedAt!: Date;
  @Column('timestamp with time zone') expiresAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) revokedAt!: Date | null;
}
