import { Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { Person } from './person.entity.js';

/** A link that signs a person in once. */
@Entity('sign_in_links')
@ForeignKey(() => Person, ['fleetId', 'personId'], ['fleetId', 'id'], { name: 'sign_in_links_person_fk' })
@Unique('sign_in_links_hash_uq', ['hash'])
@Index('sign_in_links_person_ix', ['fleetId', 'personId'])
export class SignInLink {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sign_in_links_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sign_in_links_pk' }) id!: string;
  @Column('uuid') personId!: string;
  /** SHA-256 of the code, which is shown once and never stored. */
  @Column('bytea') hash!: Buffer;
  @Column('timestamp with time zone') createdAt!: Date;
  @Column('timestamp with time zone') expiresAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) redeemedAt!: Date | null;
}
