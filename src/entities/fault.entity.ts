import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Vehicle } from './vehicle.entity.js';

/** Who said that a fault was there, or gone: somebody who read it out, or the vehicle's source. */
export const FAULT_REPORTERS = ['person', 'source'] as const;
export type FaultReporter = (typeof FAULT_REPORTERS)[number];

/** How the first row of an episode is listed, and each row that was voided. */
export const FAULT_LISTED_AS = ['active', 'gone', 'voided'] as const;
export type FaultListedAs = (typeof FAULT_LISTED_AS)[number];

/**
 * A fault code that was seen from one instant to another, or seen as gone. A sighting that lies
 * beside it lengthens it, so that a fault reported every hour is one row.
 */
@Entity('faults')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'faults_vehicle_fk' })
@Check('faults_reported_by_ck', `reported_by in ('person', 'source')`)
@Check('faults_code_ck', `(spn is null) = (fmi is null)`)
@Check('faults_order_ck', `first_at <= last_at`)
@Check('faults_voided_ck', `(voided_at is null) = (void_reason is null)`)
@Index('faults_vehicle_ix', ['fleetId', 'vehicleId', 'code', 'firstAt', 'id'])
@Check('faults_listed_as_ck', `listed_as in ('active', 'gone', 'voided')`)
@Check('faults_gone_ck', `(gone_at is not null) = coalesce(listed_as = 'gone', false)`)
@Index('faults_latest_ix', ['fleetId', 'firstAt', 'id'], { where: `listed_as <> 'voided'` })
@Index('faults_listed_ix', ['fleetId', 'listedAs', 'firstAt', 'id'], { where: 'listed_as is not null' })
@Index('faults_code_ix', ['fleetId', 'code', 'firstAt', 'id'], { where: `listed_as <> 'voided'` })
@Index('faults_of_vehicle_ix', ['fleetId', 'vehicleId', 'firstAt', 'id'], { where: 'listed_as is not null' })
@Index('faults_gone_ix', ['fleetId', 'vehicleId', 'goneAt', 'id'], { where: 'gone_at is not null' })
export class Fault {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'faults_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'faults_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  /** As it is shown: 'SPN 110 FMI 0', 'P0217'. */
  @Column('text') code!: string;
  @Column('integer', { nullable: true }) spn!: number | null;
  @Column('integer', { nullable: true }) fmi!: number | null;
  /** False: it was read as gone. */
  @Column('boolean') isActive!: boolean;
  @Column('text') reportedBy!: FaultReporter;
  @Column('timestamp with time zone') firstAt!: Date;
  @Column('timestamp with time zone') lastAt!: Date;
  @Column('integer', { nullable: true }) occurrences!: number | null;
  /** The vehicle's usage when it was first seen. */
  @Column('double precision', { nullable: true }) odometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) engineHoursLifetime!: number | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('text', { nullable: true }) voidReason!: string | null;
  /** Null for what a list does not show by itself: a later row of an episode, and what was gone. */
  @Column('text', { nullable: true }) listedAs!: FaultListedAs | null;
  /** When the episode that begins here was read as gone. */
  @Column('timestamp with time zone', { nullable: true }) goneAt!: Date | null;
}
