import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import type { Message } from '../domain/message.js';
import { Fleet } from './fleet.entity.js';
import { Vehicle } from './vehicle.entity.js';

/** The open interfaces that a source can speak, and `push` for a source that sends by itself. */
export const SOURCE_KINDS = ['iso-15143-3', 'rfms-4', 'push'] as const;
export type SourceKind = (typeof SOURCE_KINDS)[number];

/** How the service signs in at a source. */
export const SIGN_INS = ['none', 'basic', 'bearer', 'oauth2'] as const;
export type SignIn = (typeof SIGN_INS)[number];

/** Why something that a source said was refused, and where it said so. */
export interface Refusal {
  /** The machine, as the source names it. */
  machine: string;
  path: string;
  why: Message;
}

/** What became of what a source said in one poll or one post. */
export interface Intake {
  /** ISO 8601. */
  at: string;
  pages: number;
  machines: number;
  /** Machines that are no vehicle here, that may be several, and that came more than once. */
  unknown: number;
  ambiguous: number;
  repeated: number;
  /** Machines whose vehicle already counts by another machine. */
  beside: number;
  /** Usage readings: believed, held for review, known already, and too soon after the last. */
  taken: number;
  held: number;
  duplicate: number;
  passedOver: number;
  /** Faults that are new or were seen for longer. */
  faults: number;
  temperatures: number;
  refused: number;
  /** The first of them. */
  refusals: Refusal[];
}

/** Where counters and faults of machines come from by themselves. */
@Entity('telematics_sources')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'telematics_sources_fleet_fk' })
@Unique('telematics_sources_name_uq', ['fleetId', 'name'])
@Check('telematics_sources_kind_ck', `"kind" in ('iso-15143-3', 'rfms-4', 'push')`)
@Check('telematics_sources_sign_in_ck', `"sign_in" in ('none', 'basic', 'bearer', 'oauth2')`)
@Check(
  'telematics_sources_polled_ck',
  `("kind" = 'push') = ("address" is null) and ("kind" = 'push') = ("every_minutes" is null)`,
)
@Index('telematics_sources_due_ix', ['nextPollAt', 'fleetId', 'id'], {
  where: `kind <> 'push' and paused_at is null`,
})
export class TelematicsSource {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'telematics_sources_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'telematics_sources_pk' }) id!: string;
  @Column('text') name!: string;
  @Column('text') kind!: SourceKind;
  /** Null for a source that pushes. */
  @Column('text', { nullable: true }) address!: string | null;
  @Column('text') signIn!: SignIn;
  /** The user name, or the client id of OAuth 2. */
  @Column('text', { nullable: true }) userName!: string | null;
  /**
   * The password, the bearer token or the client secret of OAuth 2. It must be readable to sign in
   * with, so it is not hashed.
   */
  @Column('text', { nullable: true }) secret!: string | null;
  /** Where OAuth 2 gives access tokens. */
  @Column('text', { nullable: true }) tokenAddress!: string | null;
  /** The scope that is asked for there. */
  @Column('text', { nullable: true }) scope!: string | null;
  @Column('integer', { nullable: true }) everyMinutes!: number | null;
  /** Whether to ask for fault codes too, machine by machine. */
  @Column('boolean', { default: false }) withFaults!: boolean;
  @Column('timestamp with time zone', { nullable: true }) pausedAt!: Date | null;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
  /** No poll before this time. Null for a source that pushes. */
  @Column('timestamp with time zone', { nullable: true }) nextPollAt!: Date | null;
  /** A worker is polling it, and holds the lease until then. */
  @Column('timestamp with time zone', { nullable: true }) polledUntil!: Date | null;
  /** The page at which the next poll goes on, if the last one could not read all of them. */
  @Column('text', { nullable: true }) resumeAt!: string | null;
  /** When the last poll that read everything began. */
  @Column('timestamp with time zone', { nullable: true }) completeSince!: Date | null;
  /** Polls in a row that have failed. */
  @Column('integer', { default: 0 }) failures!: number;
  @Column('timestamp with time zone', { nullable: true }) failingSince!: Date | null;
  @Column('jsonb', { nullable: true }) failure!: Message | null;
  @Column('timestamp with time zone', { nullable: true }) lastSuccessAt!: Date | null;
  /** The latest instant that any of its machines gave. */
  @Column('timestamp with time zone', { nullable: true }) newestAt!: Date | null;
  @Column('jsonb', { nullable: true }) lastIntake!: Intake | null;
}

/** By what a machine was found to be a vehicle. */
export const MATCHES = ['mapping', 'vin', 'serial-number'] as const;
export type MatchedBy = (typeof MATCHES)[number];

/** A machine that a source names, and the vehicle that it is. */
@Entity('telematics_machines')
@ForeignKey(() => TelematicsSource, ['fleetId', 'sourceId'], ['fleetId', 'id'], {
  name: 'telematics_machines_source_fk',
})
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], {
  name: 'telematics_machines_vehicle_fk',
})
@Unique('telematics_machines_key_uq', ['fleetId', 'sourceId', 'key'])
@Check(
  'telematics_machines_matched_ck',
  `"matched_by" in ('mapping', 'vin', 'serial-number') and ("vehicle_id" is null) = ("matched_by" is null)`,
)
@Index('telematics_machines_source_ix', ['fleetId', 'sourceId', 'id'])
@Index('telematics_machines_unknown_ix', ['fleetId', 'sourceId', 'id'], { where: 'vehicle_id is null' })
@Index('telematics_machines_vehicle_ix', ['fleetId', 'vehicleId'], { where: 'vehicle_id is not null' })
export class TelematicsMachine {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'telematics_machines_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'telematics_machines_pk' }) id!: string;
  @Column('uuid') sourceId!: string;
  /** What the source knows it by. See `machineKey`. */
  @Column('text') key!: string;
  @Column('text', { nullable: true }) vin!: string | null;
  @Column('text', { nullable: true }) serialNumber!: string | null;
  @Column('text', { nullable: true }) equipmentId!: string | null;
  @Column('text', { nullable: true }) make!: string | null;
  @Column('text', { nullable: true }) model!: string | null;
  @Column('uuid', { nullable: true }) vehicleId!: string | null;
  @Column('text', { nullable: true }) matchedBy!: MatchedBy | null;
  /** Several vehicles have its serial number. */
  @Column('boolean', { default: false }) isAmbiguous!: boolean;
  /** Another machine already gives the counters of its vehicle. */
  @Column('boolean', { default: false }) isBeside!: boolean;
  @Column('timestamp with time zone') firstSeenAt!: Date;
  @Column('timestamp with time zone') lastSeenAt!: Date;
  /** The latest instant that it gave. */
  @Column('timestamp with time zone', { nullable: true }) reportedAt!: Date | null;
  /** The last values that were taken, by the machine's own counters. */
  @Column('double precision', { nullable: true }) odometerKm!: number | null;
  @Column('timestamp with time zone', { nullable: true }) odometerAt!: Date | null;
  @Column('double precision', { nullable: true }) engineHours!: number | null;
  @Column('timestamp with time zone', { nullable: true }) engineHoursAt!: Date | null;
  /** Usage readings since it was first seen. */
  @Column('integer', { default: 0 }) taken!: number;
  @Column('integer', { default: 0 }) held!: number;
  @Column('integer', { default: 0 }) refused!: number;
  @Column('jsonb', { nullable: true }) lastRefusal!: Message | null;
}
