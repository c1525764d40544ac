import { Column, Entity, Index, PrimaryColumn } from 'typeorm';

/**
 * The answer to a creating request, kept for a day so that the same request again is answered
 * alike.
 */
@Entity('idempotency_records')
@Index('idempotency_records_age_ix', ['fleetId', 'createdAt'])
export class IdempotencyRecord {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'idempotency_records_pk' }) fleetId!: string;
  @PrimaryColumn('text', { primaryKeyConstraintName: 'idempotency_records_pk' }) operation!: string;
  @PrimaryColumn('text', { primaryKeyConstraintName: 'idempotency_records_pk' }) key!: string;
  @Column('bytea') requestHash!: Buffer;
  @Column('integer') status!: number;
  /** In the order in which it was written: a warning comes first. */
  @Column('json', { nullable: true }) body!: unknown;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}
