import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { Message } from '../domain/message.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * One interval of one vehicle, or a one-off follow-up, with its due point and projected dates: a
 * conclusion. It stores dates and not a state; the state is read off against today's date in the
 * fleet's zone. A line without a date carries `infinity`, so that it sorts last and no comparison
 * needs a special case.
 */
@Entity('due_lines')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'due_lines_vehicle_fk' })
@Check('due_lines_origin_ck', `"origin" in ('interval', 'follow-up')`)
@Check('due_lines_order_ck', `"window_opens_on" <= "due_on" and "due_on" <= "late_on"`)
// What stands after `id` sorts nothing: lines of another state, depot or action are passed over in
// the index, without a look at the table.
@Index('due_lines_due_ix', ['fleetId', 'dueOn', 'id', 'windowOpensOn', 'lateOn', 'action'], {
  where: 'is_open and not no_baseline',
})
@Index('due_lines_depot_ix', ['fleetId', 'depotId', 'dueOn', 'id', 'windowOpensOn', 'lateOn', 'action'], {
  where: 'is_open and not no_baseline',
})
@Index(
  'due_lines_component_ix',
  ['fleetId', 'component', 'dueOn', 'id', 'windowOpensOn', 'lateOn', 'depotId', 'action'],
  { where: 'is_open and not no_baseline' },
)
@Index('due_lines_no_baseline_ix', ['fleetId', 'dueOn', 'id', 'component', 'depotId', 'action'], {
  where: 'is_open and no_baseline',
})
@Index('due_lines_lapsing_ix', ['fleetId', 'dueOn', 'id'], {
  where: `is_open and not no_baseline and (late_on = 'infinity' or late_lapses_on is not null)`,
})
@Index('due_lines_at_once_ix', ['fleetId', 'dueOn', 'id'], { where: 'is_open and is_at_once' })
@Index('due_lines_released_ix', ['fleetId', 'vehicleId'], { where: 'is_open and released_with is not null' })
@Index('due_lines_vehicle_ix', ['fleetId', 'vehicleId', 'dueOn', 'id'])
@Index('due_lines_visit_ix', { synchronize: false })
@Index('due_lines_what_uq', { synchronize: false })
export class DueLine {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'due_lines_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'due_lines_pk' }) id!: string;
  @Column('uuid') vehicleId!: string;
  @Column('text') unitNumber!: string;
  @Column('uuid', { nullable: true }) depotId!: string | null;
  @Column('text') component!: string;
  @Column('text') action!: string;
  @Column('text', { nullable: true }) item!: string | null;
  @Column('text') origin!: 'interval' | 'follow-up';
  /** Which fact a follow-up came from; empty for an interval. */
  @Column('text', { default: '' }) originKey!: string;
  /** False once a follow-up is done, or the interval no longer applies. */
  @Column('boolean', { default: true }) isOpen!: boolean;
  @Column('boolean', { default: false }) noBaseline!: boolean;
  @Column('date') windowOpensOn!: string;
  @Column('date') dueOn!: string;
  @Column('date') lateOn!: string;
  /**
   * Where lateness rests on an estimate alone: the day on which that is stale, and the line falls
   * back to `due`.
   */
  @Column('date', { nullable: true }) lateLapsesOn!: string | null;
  /**
   * Where lateness can lapse: the day on which the line is late all the same, by the calendar or a
   * reading.
   */
  @Column('date', { nullable: true }) lateForGoodOn!: string | null;
  @Column('date', { nullable: true }) earliestOn!: string | null;
  @Column('date', { nullable: true }) latestOn!: string | null;
  @Column('text', { nullable: true }) trigger!: 'distance' | 'time' | 'engine-hours' | null;
  @Column('double precision', { nullable: true }) dueOdometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) dueEngineHoursLifetime!: number | null;
  @Column('date', { nullable: true }) dueDate!: string | null;
  @Column('date', { nullable: true }) lastDoneOn!: string | null;
  @Column('double precision', { nullable: true }) lastDoneOdometerLifetimeKm!: number | null;
  @Column('double precision', { nullable: true }) lastDoneEngineHoursLifetime!: number | null;
  @Column('uuid', { nullable: true }) lastDoneReportId!: string | null;
  /** What it counts from: a reminder is sent once a cycle and stage. */
  @Column('text') cycle!: string;
  /** From this day on the readings behind the projection are stale. */
  @Column('date', { nullable: true }) staleOn!: string | null;
  /** A usage limit gives no date for want of a reading or a rate. */
  @Column('boolean', { default: false }) needsReading!: boolean;
  @Column('date', { nullable: true }) postponedUntil!: string | null;
  /** A reading found something unsafe: the line was due the day it was opened. */
  @Column('boolean', { default: false }) isAtOnce!: boolean;
  /** Why a follow-up was opened, the worst first. */
  @Column('jsonb', { nullable: true }) causes!: Message[] | null;
  /** The readings and jobs that opened a follow-up and have yet to be settled. */
  @Column('jsonb', { nullable: true }) openedBy!: string[] | null;
  /** Those of them with which the vehicle was released for service: failed safety readings. */
  @Column('jsonb', { nullable: true }) releasedWith!: string[] | null;
  /**
   * The visit that it was last confirmed for; whether that stands is read off against the columns
   * below (`visitStands`).
   */
  @Column('uuid', { nullable: true }) visitId!: string | null;
  @Column('date', { nullable: true }) visitOn!: string | null;
  @Column('uuid', { nullable: true }) visitDepotId!: string | null;
  /** What `lastDoneOn` was then. */
  @Column('date', { nullable: true }) visitCountsFrom!: string | null;
  /**
   * Rises when a calendar would show the line otherwise; what happened, and no conclusion: a
   * rebuild leaves it where it is.
   */
  @Column('integer', { default: 0 }) calendarSequence!: number;
  /** When it last rose, by the database's own time. */
  @Column('timestamp with time zone', { default: () => 'now()' }) revisedAt!: Date;
}

/**
 * That a job reset a due line, and how that line stood then: what "done on time" is counted from.
 */
@Entity('completions')
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'completions_due_line_fk' })
@Index('completions_performed_ix', ['fleetId', 'performedOn'])
@Index('completions_due_line_ix', ['fleetId', 'dueLineId'])
export class Completion {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'completions_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'completions_pk' }) jobReportId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'completions_pk' }) dueLineId!: string;
  @Column('date') performedOn!: string;
  @Column('date') windowOpensOn!: string;
  @Column('date') dueOn!: string;
  @Column('date') lateOn!: string;
  @Column('boolean', { default: false }) voided!: boolean;
}
