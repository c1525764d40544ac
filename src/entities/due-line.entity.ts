import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import type { Message } from '../domain/message.js';
import type { CircuitName } from '../domain/vehicles/circuits.js';
import { Vehicle } from './vehicle.entity.js';

/**
 * One interval of one vehicle, or a one-off follow-up, with its due point and projected dates. It
 * is a conclusion. It stores dates and no state: the state follows from today's date in the fleet's
 * zone. A line without a date has the date `infinity`, so it sorts last and no comparison needs a
 * special case.
 */
@Entity('due_lines')
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'due_lines_vehicle_fk' })
@Check('due_lines_origin_ck', `"origin" in ('interval', 'follow-up')`)
@Check('due_lines_order_ck', `"window_opens_on" <= "due_on" and "due_on" <= "late_on"`)
// The columns after `id` do not order anything. They let PostgreSQL skip lines of another state,
// depot or action in the index, without reading the table.
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
@Index('due_lines_assignee_ix', { synchronize: false })
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
  /** Null: the vehicle's first. */
  @Column('text', { nullable: true }) circuit!: CircuitName | null;
  /** As it is told; null where the vehicle has only one. */
  @Column('text', { nullable: true }) namedCircuit!: CircuitName | null;
  @Column('text') origin!: 'interval' | 'follow-up';
  /** The fact that a follow-up came from. Empty for an interval. */
  @Column('text', { default: '' }) originKey!: string;
  /** False once a follow-up is done, or the interval no longer applies. */
  @Column('boolean', { default: true }) isOpen!: boolean;
  @Column('boolean', { default: false }) noBaseline!: boolean;
  @Column('date') windowOpensOn!: string;
  @Column('date') dueOn!: string;
  @Column('date') lateOn!: string;
  /**
   * For lateness that is based on an estimate alone: the day on which the estimate becomes stale
   * and the line returns to `due`.
   */
  @Column('date', { nullable: true }) lateLapsesOn!: string | null;
  /**
   * For lateness that can lapse: the day on which the line is late anyway, by the calendar or a
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
  /** What the line counts from. A reminder is sent once for each cycle and stage. */
  @Column('text') cycle!: string;
  /** From this day on, the readings behind the projection are stale. */
  @Column('date', { nullable: true }) staleOn!: string | null;
  /** A usage limit has no date because a reading or a rate is missing. */
  @Column('boolean', { default: false }) needsReading!: boolean;
  @Column('date', { nullable: true }) postponedUntil!: string | null;
  /** Its interval is ready-made, and nobody has confirmed or replaced it. */
  @Column('boolean', { default: false }) isStarter!: boolean;
  /** A reading found something unsafe, so the line was due on the day it was opened. */
  @Column('boolean', { default: false }) isAtOnce!: boolean;
  /** Why a follow-up was opened, the worst first. */
  @Column('jsonb', { nullable: true }) causes!: Message[] | null;
  /** The readings and jobs that opened a follow-up and are not settled yet. */
  @Column('jsonb', { nullable: true }) openedBy!: string[] | null;
  /**
   * Those of `openedBy` that are failed safety readings with which the vehicle was released for
   * service.
   */
  @Column('jsonb', { nullable: true }) releasedWith!: string[] | null;
  /**
   * The visit that the line was last confirmed for. Whether the visit still applies follows from
   * the columns below (`visitStands`).
   */
  @Column('uuid', { nullable: true }) visitId!: string | null;
  @Column('date', { nullable: true }) visitOn!: string | null;
  @Column('uuid', { nullable: true }) visitDepotId!: string | null;
  /** The value of `lastDoneOn` when the visit was confirmed. */
  @Column('date', { nullable: true }) visitCountsFrom!: string | null;
  /** The person to whom that visit is assigned. */
  @Column('uuid', { nullable: true }) visitAssignee!: string | null;
  /**
   * Rises whenever a calendar would show the line differently. It records events and is not a
   * conclusion: a rebuild does not change it.
   */
  @Column('integer', { default: 0 }) calendarSequence!: number;
  /** When it last rose, by the database's clock. */
  @Column('timestamp with time zone', { default: () => 'now()' }) revisedAt!: Date;
}

/**
 * Records that a job reset a due line, and the state of the line then. "Done on time" is counted
 * from these rows.
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
