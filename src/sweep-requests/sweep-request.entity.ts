import { Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Vehicle } from '../vehicles/vehicle.entity.js';

/**
 * That a vehicle is to be looked at for news, written in the transaction that stored what may be
 * news of it, and deleted in the one that recorded the reminders. Two of a vehicle stand at most:
 * one that is being seen to, and one of what came meanwhile.
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
