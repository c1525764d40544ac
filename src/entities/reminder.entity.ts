import type { Message } from '../domain/message.js';
import type { Language } from '../platform/words/languages.js';
import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { DueLine } from './due-line.entity.js';
import { Fleet } from './fleet.entity.js';
import { Person } from './person.entity.js';
import { type Duty, Vehicle } from './vehicle.entity.js';

/** The stages of a due line for which reminders are sent, the lowest first. */
export const STAGES = ['window', 'due', 'late'] as const;
export type Stage = (typeof STAGES)[number];
/** The kinds of news that a target can receive. */
export const NEWS = ['due-line', 'loss-alert', 'failed-reading', 'held-reading', 'delivery-trouble'] as const;
export type News = (typeof NEWS)[number];
/** What a reminder can be about: one piece of news, or several in one message. */
export const REMINDER_NEWS = [...NEWS, 'digest'] as const;
export type ReminderNews = (typeof REMINDER_NEWS)[number];
/** Whether an urgent reminder waits for the target's sending hours. */
export const URGENT = ['at-any-hour', 'within-hours'] as const;
export type Urgent = (typeof URGENT)[number];

export const TARGET_KINDS = ['webhook', 'email'] as const;
export type TargetKind = (typeof TARGET_KINDS)[number];

/** Where reminders are sent. */
@Entity('reminder_targets')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'reminder_targets_fleet_fk' })
@ForeignKey(() => Person, ['fleetId', 'personId'], ['fleetId', 'id'], {
  name: 'reminder_targets_person_fk',
})
@Index('reminder_targets_person_ix', ['fleetId', 'personId'], { where: 'person_id is not null' })
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
  /** Of the due lines, it hears only of work that is assigned to this person. Null: of all. */
  @Column('uuid', { nullable: true }) personId!: string | null;
  /** Null: the fleet's language. */
  @Column('text', { nullable: true }) language!: Language | null;
  @Column('text') digest!: 'each' | 'daily';
  @Column('text', { nullable: true }) sendFrom!: string | null;
  @Column('text', { nullable: true }) sendTo!: string | null;
  /** Whether urgent reminders wait for the sending hours. */
  @Column('text', { default: 'at-any-hour' }) urgent!: Urgent;
  /**
   * The signing secret, as in the Standard Webhooks specification. It must be readable to sign
   * with, so it is not hashed.
   */
  @Column('text', { nullable: true }) secret!: string | null;
  /**
   * The secret before this one. Until `previousSecretUntil`, messages are signed with it as well.
   */
  @Column('text', { nullable: true }) previousSecret!: string | null;
  @Column('timestamp with time zone', { nullable: true }) previousSecretUntil!: Date | null;
  @Column('timestamp with time zone', { nullable: true }) disabledAt!: Date | null;
  @Column('jsonb', { nullable: true }) disabledReason!: Message | null;
  /**
   * Since when every reminder to the target has been refused or given up, and why. Null once one is
   * accepted.
   */
  @Column('timestamp with time zone', { nullable: true }) failingSince!: Date | null;
  @Column('jsonb', { nullable: true }) failingReason!: Message | null;
  /** When a test last got through to this address; null: never. */
  @Column('timestamp with time zone', { nullable: true }) testedAt!: Date | null;
  /** Deleted, but kept for the reminders that were sent to it. */
  @Column('timestamp with time zone', { nullable: true }) removedAt!: Date | null;
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

export const REMINDER_STATUSES = ['waiting', 'sent', 'undelivered', 'withdrawn', 'superseded'] as const;
export type ReminderStatus = (typeof REMINDER_STATUSES)[number];

/**
 * A reminder that a due line entered a stage, or about other news. The row is written first, then a
 * job is queued.
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
  /**
   * What it is about: a loss alert, a reading, a usage reading, a target or a fleet. For a digest:
   * its target.
   */
  @Column('uuid', { nullable: true }) subjectId!: string | null;
  /** For news other than due lines. Null when it concerns no single vehicle. */
  @Column('uuid', { nullable: true }) vehicleId!: string | null;
  /**
   * Distinguishes new news from old: the job a line counts from, an alert that was raised again, or
   * the day and reason of a digest.
   */
  @Column('text') cycle!: string;
  @Column('text', { nullable: true }) stage!: Stage | null;
  /** For a line that stays late: the number of this repetition. */
  @Column('integer', { default: 0 }) repeat!: number;
  /** The digest that contains it. Only the digest is sent. */
  @Column('uuid', { nullable: true }) digestId!: string | null;
  @Column('text') status!: ReminderStatus;
  /**
   * The message as it is sent, byte for byte the same on every attempt. Null before the first one.
   */
  @Column('text', { nullable: true }) body!: string | null;
  /** Attempts begun since it was queued or resent. Determines the wait before the next one. */
  @Column('integer', { default: 0 }) attempts!: number;
  /**
   * No attempt before this time. An attempt moves it into the future first, and holds the lease
   * until then.
   */
  @Column('timestamp with time zone') nextAttemptAt!: Date;
  /**
   * The worker that is making the present attempt, otherwise null. If that worker is gone, the next
   * attempt need not wait.
   */
  @Column('uuid', { nullable: true }) attemptedBy!: string | null;
  @Column('timestamp with time zone', { nullable: true }) sentAt!: Date | null;
  @Column('timestamp with time zone') createdAt!: Date;
}

/** One attempt to send a reminder, and its result. The row is written before anything is sent. */
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
  /** Null during the attempt, and for good if its worker crashed. */
  @Column('integer', { nullable: true }) durationMs!: number | null;
  @Column('jsonb', { nullable: true }) error!: Message | null;
  /** The first 2 kB of the receiver's response. */
  @Column('text', { nullable: true }) answer!: string | null;
}

/**
 * The last days, in the fleet's zone, on which the whole fleet was processed. They show which
 * morning or night was missed and must be made up for.
 */
@Entity('fleet_sweeps')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'fleet_sweeps_fleet_fk' })
export class FleetSweep {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'fleet_sweeps_pk' }) fleetId!: string;
  /** When its due lines were last swept for reminders. */
  @Column('date', { nullable: true }) sweptOn!: string | null;
  /** When its loss cohorts and batches of parts were last examined. */
  @Column('date', { nullable: true }) cohortsOn!: string | null;
}
