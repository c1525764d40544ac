import { Column, Entity, PrimaryColumn } from 'typeorm';

/** A worker's sign of life, renewed every few seconds; gone where it ended in good order. */
@Entity('workers')
export class WorkerSign {
  /** Of the process: another after each start. */
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'workers_pk' }) id!: string;
  /** By the clock of the database. */
  @Column('timestamp with time zone') seenAt!: Date;
}
