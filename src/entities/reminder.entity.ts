import type { Message } from '../domain/message.js';
import type { Language } from '../platform/words/languages.js';
import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { DueLine } from './due-line.entity.js';
import { Fleet } from './fleet.entity.js';
import { type Duty, Vehicle } from './vehicle.entity.js';

/** The stages of a due line that are told of, from the lowest. */
export const STAGES = ['window', 'due', 'late'] as const;
export type Stage = (typeof STAGES)[number];
/** What a target can hear of. */
export const NEWS = ['due-line', 'loss-alert', 'failed-reading', 'held-reading', 'delivery-trouble'] as const;
export type News = (typeof NEWS)[number];
/** What a reminder can be: one piece of news, or several in one message. */
export const REMINDER_NEWS = [...NEWS, 'digest'] as const;
export type ReminderNews = (typeof REMINDER_NEWS)[number];
/** What a target does with its hours when a reminder is urgent. */
export const URGENT = ['at-any-hour', 'within-hours'] as const;
export type Urgent = (typeof URGENT)[number];

export const TARGET_KINDS = ['webhook', 'email'] as const;
export type TargetKind = (typeof TARGET_KINDS)[number];

/** Where reminders go. */
@Entity('reminder_targets')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'reminder_targets_fleet_fk' })
@Check('reminder_targets_kind_ck', `"kind" in ('webhook', 'email')`)
@Check('reminder_targets_urgent_ck', `"urgent" in ('at-any-hour', 'within-hours')`)
export class ReminderTarget {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_targets_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_targets_pk' }) id!: string;
  @Column('text') kind!: TargetKind;
  @Column('text') address!: string;
  @Column('text', { array: true }) hears!: News[];
  @Column('text', { array: true }) stages!: Stage[];
  @Column('integer', { nullable: true }) repeatLateDays!: number | null;
  @Column('uuid', { array: true, default: [] }) depotIds!: string[];
  @Column('text', { array: true, default: [] }) components!: string[];
  @Column('text', { array: true, default: [] }) duties!: Duty[];
  @Column('uuid', { array: true, default: [] }) intervalPlanIds!: string[];
  @Column('uuid', { array: true, default: [] }) vehicleIds!: string[];
  /** Null: the fleet's. */
  @Column('text', { nullable: true }) language!: Language | null;
  @Column('text') digest!: 'each' | 'daily';
  @Column('text', { nullable: true }) sendFrom!: string | null;
  @Column('text', { nullable: true }) sendTo!: string | null;
  /** Whether urgent reminders wait for those hours. */
  @Column('text', { default: 'at-any-hour' }) urgent!: Urgent;
  /**
   * Signing secret by the Standard Webhooks specification; must be readable to sign, so it is not
   * hashed.
   */
  @Column('text', { nullable: true }) secret!: string | null;
  /** The secret before it, with which is signed as well until then. */
  @Column('text', { nullable: true }) previousSecret!: string | null;
  @Column('timestamp with time zone', { nullable: true }) previousSecretUntil!: Date | null;
  @Column('timestamp with time zone', { nullable: true }) disabledAt!: Date | null;
  @Column('jsonb', { nullable: true }) disabledReason!: Message | null;
  /** Since when reminders to it have been refused or given up, with none accepted; and why. */
  @Column('timestamp with time zone', { nullable: true }) failingSince!: Date | null;
  @Column('jsonb', { nullable: true }) failingReason!: Message | null;
  /** Deleted, but kept for the reminders that were sent to it. */
  @Column('timestamp with time zone', { nullable: true }) removedAt!: Date | null;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

export const REMINDER_STATUSES = ['waiting', 'sent', 'undelivered', 'withdrawn', 'superseded'] as const;
export type ReminderStatus = (typeof REMINDER_STATUSES)[number];

/**
 * The notice that a due line entered a stage, or of other news: a row first, a queued job second.
 */
@Entity('reminders')
@ForeignKey(() => ReminderTarget, ['fleetId', 'targetId'], ['fleetId', 'id'], { name: 'reminders_target_fk' })
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'reminders_due_line_fk' })
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'reminders_vehicle_fk' })
@ForeignKey(() => Reminder, ['fleetId', 'digestId'], ['fleetId', 'id'], { name: 'reminders_digest_fk' })
@Unique('reminders_once_uq', ['fleetId', 'dueLineId', 'cycle', 'stage', 'targetId', 'repeat'])
@Check('reminders_stage_ck', `"stage" in ('window', 'due', 'late')`)
@Check('reminders_status_ck', `"status" in ('waiting', 'sent', 'undelivered', 'withdrawn', 'superseded')`)
@Check(
  'reminders_news_ck',
  `"news" in ('due-line', 'loss-alert', 'failed-reading', 'held-reading', 'delivery-trouble', 'digest')`,
)
@Check(
  'reminders_subject_ck',
  `case when "news" = 'due-line' then "due_line_id" is not null and "stage" is not null else "subject_id" is not null end`,
)
@Index('reminders_created_ix', ['fleetId', 'createdAt', 'id'])
@Index('reminders_status_ix', ['fleetId', 'status', 'createdAt', 'id'])
@Index('reminders_target_ix', ['fleetId', 'targetId', 'createdAt', 'id'])
@Index('reminders_news_uq', ['fleetId', 'targetId', 'news', 'subjectId', 'cycle'], {
  unique: true,
  where: 'subject_id is not null',
})
@Index('reminders_waiting_ix', ['nextAttemptAt', 'fleetId', 'id'], {
  where: `status = 'waiting' and digest_id is null`,
})
@Index('reminders_attempted_ix', ['attemptedBy', 'fleetId', 'id'], {
  where: `status = 'waiting' and attempted_by is not null`,
})
@Index('reminders_vehicle_ix', ['fleetId', 'vehicleId'], { where: 'vehicle_id is not null' })
@Index('reminders_digest_ix', ['fleetId', 'digestId', 'id'], { where: 'digest_id is not null' })
@Index('reminders_gathering_ix', ['fleetId', 'targetId'], {
  where: `news = 'digest' and status = 'waiting' and body is null`,
})
export class Reminder {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminders_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminders_pk' }) id!: string;
  @Column('uuid') targetId!: string;
  @Column('text', { default: 'due-line' }) news!: ReminderNews;
  @Column('uuid', { nullable: true }) dueLineId!: string | null;
  /** The loss alert, reading, usage reading, target or fleet it tells of; a digest's target. */
  @Column('uuid', { nullable: true }) subjectId!: string | null;
  /** Of other news than due lines; null where it is about no one vehicle. */
  @Column('uuid', { nullable: true }) vehicleId!: string | null;
  /**
   * What makes it news again: the job a line counts from, an alert that raised itself anew, the day
   * and reason of a digest.
   */
  @Column('text') cycle!: string;
  @Column('text', { nullable: true }) stage!: Stage | null;
  /** Which repetition it is of a line that stays late. */
  @Column('integer', { default: 0 }) repeat!: number;
  /** The digest that it went into, which is attempted in its stead. */
  @Column('uuid', { nullable: true }) digestId!: string | null;
  @Column('text') status!: ReminderStatus;
  /** The message as it is sent, byte for byte the same on every attempt; null until the first. */
  @Column('text', { nullable: true }) body!: string | null;
  /** Attempts begun since it was queued or resent; decides how long to wait for the next. */
  @Column('integer', { default: 0 }) attempts!: number;
  /**
   * Not to be attempted before this. An attempt begins by moving it on: until then it has the
   * lease.
   */
  @Column('timestamp with time zone') nextAttemptAt!: Date;
  /** The worker of the attempt under way: if it is gone, the next need not wait. Else null. */
  @Column('uuid', { nullable: true }) attemptedBy!: string | null;
  @Column('timestamp with time zone', { nullable: true }) sentAt!: Date | null;
  @Column('timestamp with time zone') createdAt!: Date;
}

/** One try at sending a reminder, and how it went. It is written down before anything is sent. */
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
  @Column('integer', { nullable: true }) smtpStatus!: number | null;
  /** Null while it is under way, and for ever if its worker died over it. */
  @Column('integer', { nullable: true }) durationMs!: number | null;
  @Column('jsonb', { nullable: true }) error!: Message | null;
  /** The first 2 kB of what the receiver answered. */
  @Column('text', { nullable: true }) answer!: string | null;
}

/**
 * The last days, in the fleet's zone, on which a whole fleet was seen to: a morning or night that
 * was missed is made up for.
 */
@Entity('fleet_sweeps')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'fleet_sweeps_fleet_fk' })
export class FleetSweep {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleet_sweeps_pk' }) fleetId!: string;
  /** When its due lines were swept for reminders. */
  @Column('date', { nullable: true }) sweptOn!: string | null;
  /** When its loss cohorts and batches of parts were concluded. */
  @Column('date', { nullable: true }) cohortsOn!: string | null;
}
