import { Check, Column, Entity, Index, PrimaryColumn } from 'typeorm';

/**
 * Records that a transaction changed due lines or loss alerts. Triggers on both tables write it, so
 * no writer can be missed.
 *
 * Events are read in the order of transactions, and only those before the oldest open transaction.
 * A serial number for each event would be assigned before the commit. A reader could pass that
 * number before the event becomes visible, and would never see it.
 */
@Entity('due_list_events')
@Check('due_list_events_kind_ck', `"kind" in ('due-line', 'loss-alert')`)
@Index('due_list_events_age_ix', ['fleetId', 'recordedAt'])
export class DueListEvent {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'due_list_events_pk' }) fleetId!: string;
  @PrimaryColumn('bigint', { primaryKeyConstraintName: 'due_list_events_pk' }) xid!: number;
  /** The order within the transaction, from 1. */
  @PrimaryColumn('integer', { primaryKeyConstraintName: 'due_list_events_pk' }) seq!: number;
  @Column('text') kind!: 'due-line' | 'loss-alert';
  @Column('uuid', { array: true }) subjectIds!: string[];
  /**
   * The earlier depot of each line, if any line moved. Readers who watch that depot must be told.
   */
  @Column('uuid', { array: true, nullable: true }) leftDepotIds!: string[] | null;
  @Column('timestamp with time zone', { default: () => 'clock_timestamp()' }) recordedAt!: Date;
}
