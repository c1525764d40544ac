import { Check, Column, Entity, Index, PrimaryColumn } from 'typeorm';

/**
 * That a transaction changed due lines or loss alerts. Written by triggers on their tables, so that
 * no way of writing is left out.
 *
 * Read in the order of transactions, and only those before the oldest that is still open: a
 * number of its own for each event would be given out before the transaction commits, and a
 * reader who has passed it by then would never see it.
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
   * Where each line was before, if any of them moved: whoever watches that depot must hear of it.
   */
  @Column('uuid', { array: true, nullable: true }) leftDepotIds!: string[] | null;
  @Column('timestamp with time zone', { default: () => 'clock_timestamp()' }) recordedAt!: Date;
}
