import { Column, Entity, PrimaryColumn } from 'typeorm';
import type { DueState } from '../domain/intervals/types.js';

/**
 * The day for which a fleet's open lines are counted. A fleet has no row until someone reads its
 * summary.
 */
@Entity('due_line_count_days')
export class DueLineCountDay {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'due_line_count_days_pk' }) fleetId!: string;
  @Column('date') day!: string;
  /** The number of rows written by the last count of all lines. */
  @Column('integer', { default: 0 }) counted!: number;
}

/**
 * How many open lines of a kind are in a state on the fleet's day: the sum of `lines` over the
 * rows. Counting all lines writes one row for each kind and state. Every later change of lines adds
 * rows with the differences, through triggers on `due_lines`, and never waits for another
 * transaction.
 */
@Entity('due_line_counts')
export class DueLineCount {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'due_line_counts_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'due_line_counts_pk', default: () => 'uuidv7()' })
  id!: string;
  @Column('uuid', { nullable: true }) depotId!: string | null;
  @Column('text') component!: string;
  @Column('text') action!: string;
  @Column('text') state!: DueState;
  @Column('integer') lines!: number;
}
