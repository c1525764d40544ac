import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Vehicle } from '../vehicles/vehicle.entity.js';

/**
 * An outbox row: check this vehicle for news. Written with the change, deleted with the recording
 * of its reminders. A vehicle has at most two: one being handled, one for what came meanwhile.
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
