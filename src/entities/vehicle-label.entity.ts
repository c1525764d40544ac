import { Check, Column, Entity, ForeignKey, PrimaryColumn, Unique } from 'typeorm';
import { Vehicle } from './vehicle.entity.js';

/** The label on a vehicle. There is at most one that works. */
@Entity('vehicle_labels')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'vehicle_labels_vehicle_fk' })
@Unique('vehicle_labels_vehicle_uq', ['fleetId', 'vehicleId'])
@Unique('vehicle_labels_secret_uq', ['fleetId', 'secret'])
@Check('vehicle_labels_secret_ck', `length("secret") = 16`)
export class VehicleLabel {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'vehicle_labels_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'vehicle_labels_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  /** 128 random bits. Kept as they are, because a lost label is printed again. */
  @Column('bytea') secret!: Buffer;
  @Column('timestamp with time zone') madeAt!: Date;
}
