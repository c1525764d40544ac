import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { Depot } from './depot.entity.js';
import { Fleet } from './fleet.entity.js';
import { Import } from './import.entity.js';
import { IntervalPlan } from './interval-plan.entity.js';
import { SpecSheet } from './spec-sheet.entity.js';

export type Duty = 'normal' | 'severe';
export type VehicleStatus = 'in-use' | 'laid-up' | 'disposed';

@Entity('vehicles')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'vehicles_fleet_fk' })
@ForeignKey(() => Depot, ['fleetId', 'depotId'], ['fleetId', 'id'], { name: 'vehicles_depot_fk' })
@ForeignKey(() => SpecSheet, ['fleetId', 'specSheetId'], ['fleetId', 'id'], {
  name: 'vehicles_spec_sheet_fk',
})
@ForeignKey(() => IntervalPlan, ['fleetId', 'intervalPlanId'], ['fleetId', 'id'], {
  name: 'vehicles_interval_plan_fk',
})
@ForeignKey(() => Vehicle, ['fleetId', 'mountedOn'], ['fleetId', 'id'], { name: 'vehicles_mounted_on_fk' })
@ForeignKey(() => Import, ['fleetId', 'importId'], ['fleetId', 'id'], { name: 'vehicles_import_fk' })
@Unique('vehicles_unit_number_uq', ['fleetId', 'unitNumber'])
@Unique('vehicles_vin_uq', ['fleetId', 'vin'])
@Check('vehicles_duty_ck', `"duty" in ('normal', 'severe')`)
@Check('vehicles_status_ck', `"status" in ('in-use', 'laid-up', 'disposed')`)
@Index('vehicles_mounted_on_ix', ['fleetId', 'mountedOn'], { where: `mounted_on is not null` })
@Index('vehicles_import_ix', ['fleetId', 'importId'], { where: `import_id is not null` })
@Index('vehicles_serial_number_ix', ['fleetId', 'serialNumber'], { where: 'serial_number is not null' })
@Index('vehicles_by_depot_ix', ['fleetId', 'depotId', 'unitNumber', 'id'])
@Index('vehicles_by_status_ix', ['fleetId', 'status', 'unitNumber', 'id'])
@Index('vehicles_without_plan_ix', ['fleetId', 'unitNumber', 'id'], { where: 'interval_plan_id is null' })
@Index('vehicles_without_sheet_ix', ['fleetId', 'unitNumber', 'id'], { where: 'spec_sheet_id is null' })
@Index('vehicles_depot_ix', ['fleetId', 'depotId', 'id'])
@Index('vehicles_spec_sheet_ix', ['fleetId', 'specSheetId', 'id'])
@Index('vehicles_interval_plan_ix', ['fleetId', 'intervalPlanId', 'id'])
export class Vehicle {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'vehicles_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'vehicles_pk' }) id!: string;
  /** The number painted on it. */
  @Column('text') unitNumber!: string;
  @Column('uuid', { nullable: true }) depotId!: string | null;
  @Column('uuid', { nullable: true }) specSheetId!: string | null;
  @Column('uuid', { nullable: true }) intervalPlanId!: string | null;
  @Column('text') duty!: Duty;
  @Column('text') status!: VehicleStatus;
  @Column('text', { nullable: true }) vin!: string | null;
  /**
   * Used instead of a VIN on a machine: a product identification number (ISO 10261), or the number
   * that the maker stamped on it.
   */
  @Column('text', { nullable: true }) serialNumber!: string | null;
  @Column('text', { nullable: true }) make!: string | null;
  @Column('text', { nullable: true }) model!: string | null;
  @Column('integer', { nullable: true }) modelYear!: number | null;
  /** The carrier that an auxiliary engine is mounted on. */
  @Column('uuid', { nullable: true }) mountedOn!: string | null;
  /** The months (1 to 12) in which a seasonal vehicle is used. Null: all year. */
  @Column('integer', { array: true, nullable: true }) inUseMonths!: number[] | null;
  @Column('date', { nullable: true }) inServiceOn!: string | null;
  @Column('double precision', { nullable: true }) inServiceOdometerKm!: number | null;
  @Column('double precision', { nullable: true }) inServiceEngineHours!: number | null;
  @Column('double precision', { nullable: true }) expectedDailyKm!: number | null;
  @Column('double precision', { nullable: true }) expectedDailyHours!: number | null;
  @Column('double precision', { nullable: true }) designLowTemperatureC!: number | null;
  @Column('integer', { default: 1 }) version!: number;
  /** The imported file that brought it, if any. */
  @Column('uuid', { nullable: true }) importId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

/**
 * The depot, duty, spec sheet, interval plan and status of a vehicle from a day on. Append-only.
 */
@Entity('vehicle_assignments')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], {
  name: 'vehicle_assignments_vehicle_fk',
})
@Index('vehicle_assignments_vehicle_ix', ['fleetId', 'vehicleId', 'effectiveOn', 'id'])
export class VehicleAssignment {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'vehicle_assignments_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'vehicle_assignments_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('date') effectiveOn!: string;
  @Column('uuid', { nullable: true }) depotId!: string | null;
  @Column('text') duty!: Duty;
  @Column('uuid', { nullable: true }) specSheetId!: string | null;
  @Column('uuid', { nullable: true }) intervalPlanId!: string | null;
  @Column('text') status!: VehicleStatus;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) recordedAt!: Date;
}
