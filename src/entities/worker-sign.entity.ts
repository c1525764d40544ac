import { Column, Entity, PrimaryColumn } from 'typeorm';

/** A worker's heartbeat. The last one is kept, so that others can see when it was. */
@Entity('workers')
export class WorkerSign {
  /** Identifies the process. A worker gets a new id at each start. */
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'workers_pk' }) id!: string;
  /** By the database's clock. */
  @Column('timestamp with time zone') seenAt!: Date;
}
