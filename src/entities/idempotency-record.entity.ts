import { Column, Entity, Index, PrimaryColumn } from 'typeorm';

/**
 * The response to a creating request. It is kept for a day, so that the same request gets the same
 * response again.
 */
@Entity('idempotency_records')
@Index('idempotency_records_age_ix', ['fleetId', 'createdAt'])
export class IdempotencyRecord {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'idempotency_records_pk' }) fleetId!: string;
  @PrimaryColumn('text', { primaryKeyConstraintName: 'idempotency_records_pk' }) operation!: string;
  @PrimaryColumn('text', { primaryKeyConstraintName: 'idempotency_records_pk' }) key!: string;
  @Column('bytea') requestHash!: Buffer;
  @Column('integer') status!: number;
  /** `json` keeps the order of its fields: a warning must come first. */
  @Column('json', { nullable: true }) body!: unknown;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}
