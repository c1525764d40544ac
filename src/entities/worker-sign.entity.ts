import { Column, Entity, PrimaryColumn } from 'typeorm';

/** A worker's heartbeat. The last one stays, so that others can see when it was. */
@Entity('workers')
export class WorkerSign {
  /** Of the process: another after each start. */
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'workers_pk' }) id!: string;
  /** By the clock of the database. */
  @Column('timestamp with time zone') seenAt!: Date;
}
