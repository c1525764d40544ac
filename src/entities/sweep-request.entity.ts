import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Vehicle } from './vehicle.entity.js';

/**
 * An outbox row: check this vehicle for news. It is written in the transaction of the change, and
 * deleted in the transaction that stores the reminders. A vehicle has two rows at most: one that is
 * being processed, and one for changes in the meantime.
 */
@Entity('sweep_requests')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], {
  name: 'sweep_requests_vehicle_fk',
  onDelete: 'CASCADE',
})
@Index('sweep_requests_requested_ix', ['fleetId', 'requestedAt'])
export class SweepRequest {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sweep_requests_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sweep_requests_pk' }) vehicleId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'sweep_requests_pk', default: () => 'uuidv7()' })
  id!: string;
  @Column('timestamp with time zone', { default: () => 'now()' }) requestedAt!: Date;
}
