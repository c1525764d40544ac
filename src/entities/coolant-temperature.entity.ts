import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { Vehicle } from './vehicle.entity.js';

/** The coolant temperatures of one day, kept for some weeks, so that late ones still count. */
@Entity('coolant_temperature_samples')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], {
  name: 'coolant_temperature_samples_vehicle_fk',
})
@Check('coolant_temperature_samples_pairs_ck', `cardinality(minutes) = cardinality(celsius)`)
@Index('coolant_temperature_samples_day_ix', ['fleetId', 'day'])
export class CoolantTemperatureSamples {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'coolant_temperature_samples_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'coolant_temperature_samples_pk' }) vehicleId!: string;
  @PrimaryColumn('date', { primaryKeyConstraintName: 'coolant_temperature_samples_pk' }) day!: string;
  /** The first instant of the day in the fleet's zone, as it was when the first value came. */
  @Column('timestamp with time zone') beganAt!: Date;
  /** Whole minutes since the day began, in order. */
  @Column('integer', { array: true }) minutes!: number[];
  /** The highest value of each of these minutes. */
  @Column('double precision', { array: true }) celsius!: number[];
}

/** What is kept of a day's coolant temperatures, with the limits that it was judged by. */
@Entity('coolant_temperature_days')
@Unique('coolant_temperature_days_day_uq', ['fleetId', 'vehicleId', 'day'])
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], {
  name: 'coolant_temperature_days_vehicle_fk',
})
@Check('coolant_temperature_days_hot_ck', `(overheated_from is null) = (overheated_until is null)`)
@Check('coolant_temperature_days_voided_ck', `(voided_at is null) = (void_reason is null)`)
@Index('coolant_temperature_days_hot_ix', ['fleetId', 'vehicleId', 'overheatedFrom', 'id'], {
  where: 'overheated_from is not null',
})
export class CoolantTemperatureDay {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'coolant_temperature_days_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'coolant_temperature_days_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  /** In the fleet's zone. */
  @Column('date') day!: string;
  /** Minutes with a value. */
  @Column('integer') samples!: number;
  @Column('double precision') highestC!: number;
  /** The 95th percentile of the warm values. */
  @Column('double precision', { nullable: true }) hotC!: number | null;
  /** Of the spec sheet, as it was when the day's first value came. */
  @Column('double precision', { nullable: true }) alarmC!: number | null;
  @Column('double precision', { nullable: true }) thermostatOpensC!: number | null;
  @Column('integer', { nullable: true }) samplesAboveAlarm!: number | null;
  @Column('integer', { nullable: true }) minutesAboveAlarm!: number | null;
  @Column('timestamp with time zone', { nullable: true }) overheatedFrom!: Date | null;
  @Column('timestamp with time zone', { nullable: true }) overheatedUntil!: Date | null;
  @Column('double precision', { nullable: true }) warmUpMinutes!: number | null;
  @Column('double precision', { nullable: true }) usualGapMinutes!: number | null;
  @Column('integer', { nullable: true }) largestGapMinutes!: number | null;
  /** The vehicle's usage when it began to overheat. */
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('text', { nullable: true }) voidReason!: string | null;
}
