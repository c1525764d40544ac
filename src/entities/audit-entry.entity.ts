import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Fleet } from './fleet.entity.js';
import type { ActorKind } from '../platform/scope/actor-kinds.js';
import type { Role } from '../platform/scope/roles.js';

/** One change, recorded by the database in the same transaction. It is never changed or deleted. */
@Entity('audit_entries')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'audit_entries_fleet_fk' })
@Check('audit_entries_actor_ck', `"actor_kind" in ('token', 'sign-in', 'command', 'service', 'person')`)
@Index('audit_entries_time_ix', ['fleetId', 'at', 'id'])
@Index('audit_entries_kind_ix', ['fleetId', 'kind', 'at', 'id'])
@Index('audit_entries_subject_ix', ['fleetId', 'subjectId', 'at', 'id'])
@Index('audit_entries_actor_ix', ['fleetId', 'actor', 'at', 'id'])
export class AuditEntry {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'audit_entries_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'audit_entries_pk' }) id!: string;
  @Column('timestamp with time zone') at!: Date;
  @Column('text') actorKind!: ActorKind;
  /** The token's id, the subject of the sign-in, or the name of the command. */
  @Column('text') actor!: string;
  @Column('text', { nullable: true }) role!: Role | null;
  @Column('text', { nullable: true }) requestId!: string | null;
  /** The kind of record that was changed. */
  @Column('text') kind!: string;
  @Column('uuid') subjectId!: string;
  @Column('text') action!: string;
  /** For each column the old and new value or, where values are not shown, only that it changed. */
  @Column('jsonb') changes!: Record<string, { from: unknown; to: unknown } | { hidden: true }>;
}
