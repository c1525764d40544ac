import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { DueLine } from '../due-list/due-line.entity.js';
import { Fleet } from '../fleets/fleet.entity.js';

export type Stage = 'window' | 'due' | 'late';

/** Where reminders go. */
@Entity('reminder_targets')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'reminder_targets_fleet_fk' })
@Check('reminder_targets_kind_ck', `"kind" in ('webhook', 'email')`)
export class ReminderTarget {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_targets_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminder_targets_pk' }) id!: string;
  @Column('text') kind!: 'webhook' | 'email';
  @Column('text') address!: string;
  @Column('text', { array: true }) hears!: string[];
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
  @Column('integer', { default: 1 }) version!: number;
  @Column('timestamp with time zone', { default: () => 'now()' }) createdAt!: Date;
}

export type ReminderStatus = 'waiting' | 'sent' | 'undelivered' | 'withdrawn' | 'superseded';

/** The notice that a due line entered a stage: a row first, a queued job second. */
@Entity('reminders')
@ForeignKey(() => ReminderTarget, ['fleetId', 'targetId'], ['fleetId', 'id'], { name: 'reminders_target_fk' })
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'reminders_due_line_fk' })
@Unique('reminders_once_uq', ['fleetId', 'dueLineId', 'cycle', 'stage', 'targetId'])
@Check('reminders_stage_ck', `"stage" in ('window', 'due', 'late')`)
@Check('reminders_status_ck', `"status" in ('waiting', 'sent', 'undelivered', 'withdrawn', 'superseded')`)
@Index('reminders_created_ix', ['fleetId', 'createdAt', 'id'])
@Index('reminders_target_ix', ['fleetId', 'targetId'])
@Index('reminders_waiting_ix', ['fleetId', 'nextAttemptAt', 'id'], { where: `status = 'waiting'` })
export class Reminder {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminders_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'reminders_pk' }) id!: string;
  @Column('uuid') targetId!: string;
  @Column('uuid') dueLineId!: string;
  @Column('text') cycle!: string;
  @Column('text') stage!: Stage;
  @Column('text') status!: ReminderStatus;
  /** The message as it is sent, the same on every attempt; null until the first. */
  @Column('jsonb', { nullable: true }) payload!: Record<string, unknown> | null;
  @Column('integer', { default: 0 }) attempts!: number;
  @Column('timestamp with time zone') nextAttemptAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) sentAt!: Date | null;
  @Column('timestamp with time zone') createdAt!: Date;
}

/** One try at sending a reminder, and how it went. */
@Entity('reminder_attempts')
@ForeignKey(() => Reminder, ['fleetId', 'reminderId'], ['fleetId', 'id'], { name: 'reminder_attempts_reminder_fk' })
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
