import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { DueLine } from '../due-list/due-line.entity.js';
import { Fleet } from '../fleets/fleet.entity.js';

/** The stages of a due line that are told of, from the lowest. */
export const STAGES = ['window', 'due', 'late'] as const;
export type Stage = (typeof STAGES)[number];
/** What a target can hear of. */
export const NEWS = ['due-line', 'loss-alert', 'failed-reading', 'held-reading'] as const;
export type News = (typeof NEWS)[number];

/** Where reminders go. */
@Entity('reminder_targets')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'reminder_targets_fleet_fk' })
@Check('reminder_targets_kind_ck', `"kind" in ('webhook', 'email')`)
export class ReminderTarget {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_targets_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_targets_pk' }) id!: string;
  @Column('text') kind!: 'webhook' | 'email';
  @Column('text') address!: string;
  @Column('text', { array: true }) hears!: News[];
  @Column('text', { array: true }) stages!: Stage[];
  @Column('integer', { nullable: true }) repeatLateDays!: number | null;
  @Column('uuid', { array: true, default: [] }) depotIds!: string[];
  @Column('text', { array: true, default: [] }) components!: string[];
  @Column('text') digest!: 'each' | 'daily';
  @Column('text', { nullable: true }) sendFrom!: string | null;
  @Column('text', { nullable: true }) sendTo!: string | null;
  /** Signing secret by the Standard Webhooks specification; must be readable to sign, so it is not hashed. */
  @Column('text', { nullable: true }) secret!: string | null;
  @Column('timestamp with time zone', { nullable: true }) disabledAt!: Date | null;
  @Column('text', { nullable: true }) disabledReason!: string | null;
  /** Deleted, but kept for the reminders that were sent to it. */
  @Column('timestamp with time zone', { nullable: true }) removedAt!: Date | null;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

export const REMINDER_STATUSES = ['waiting', 'sent', 'undelivered', 'withdrawn', 'superseded'] as const;
export type ReminderStatus = (typeof REMINDER_STATUSES)[number];

/** The notice that a due line entered a stage: a row first, a queued job second. */
@Entity('reminders')
@ForeignKey(() => ReminderTarget, ['fleetId', 'targetId'], ['fleetId', 'id'], { name: 'reminders_target_fk' })
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'reminders_due_line_fk' })
@Unique('reminders_once_uq', ['fleetId', 'dueLineId', 'cycle', 'stage', 'targetId'])
@Check('reminders_stage_ck', `"stage" in ('window', 'due', 'late')`)
@Check('reminders_status_ck', `"status" in ('waiting', 'sent', 'undelivered', 'withdrawn', 'superseded')`)
@Index('reminders_created_ix', ['fleetId', 'createdAt', 'id'])
@Index('reminders_status_ix', ['fleetId', 'status', 'createdAt', 'id'])
@Index('reminders_target_ix', ['fleetId', 'targetId', 'createdAt', 'id'])
@Index('reminders_waiting_ix', ['nextAttemptAt', 'fleetId', 'id'], { where: `status = 'waiting'` })
export class Reminder {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminders_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminders_pk' }) id!: string;
  @Column('uuid') targetId!: string;
  @Column('uuid') dueLineId!: string;
  @Column('text') cycle!: string;
  @Column('text') stage!: Stage;
  @Column('text') status!: ReminderStatus;
  /** The message as it is sent, byte for byte the same on every attempt; null until the first. */
  @Column('text', { nullable: true }) body!: string | null;
  /** Attempts begun since it was queued or resent; decides how long to wait for the next. */
  @Column('integer', { default: 0 }) attempts!: number;
  /** Not to be attempted before this; whoever attempts it moves it on first, so that no other does the same meanwhile. */
  @Column('timestamp with time zone') nextAttemptAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) sentAt!: Date | null;
  @Column('timestamp with time zone') createdAt!: Date;
}

/** One try at sending a reminder, and how it went. */
@Entity('reminder_attempts')
@ForeignKey(() => Reminder, ['fleetId', 'reminderId'], ['fleetId', 'id'], {
  name: 'reminder_attempts_reminder_fk',
})
export class ReminderAttempt {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_attempts_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_attempts_pk' }) reminderId!: string;
  @PrimaryColumn('integer', { primaryKeyConstraintName: 'reminder_attempts_pk' }) number!: number;
  @Column('timestamp with time zone') at!: Date;
  @Column('integer', { nullable: true }) httpStatus!: number | null;
  @Column('integer') durationMs!: number;
  @Column('text', { nullable: true }) error!: string | null;
  /** The first 2 kB of what the receiver answered. */
  @Column('text', { nullable: true }) answer!: string | null;
}

/** The last days, in the fleet's zone, on which a whole fleet was seen to: a morning or night that was missed is made up for. */
@Entity('fleet_sweeps')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'fleet_sweeps_fleet_fk' })
export class FleetSweep {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleet_sweeps_pk' }) fleetId!: string;
  /** When its due lines were swept for reminders. */
  @Column('date', { nullable: true }) sweptOn!: string | null;
  /** When its loss cohorts and part lots were concluded. */
  @Column('date', { nullable: true }) cohortsOn!: string | null;
}
