import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Depot } from './depot.entity.js';
import { DueLine } from './due-line.entity.js';
import { Person } from './person.entity.js';
import { Vehicle } from './vehicle.entity.js';
import { VisitPlan } from './visit-plan.entity.js';

/**
 * A visit that a manager has confirmed. Whether it is still planned, was carried out or has lapsed
 * is not stored: that follows from its due lines.
 */
@Entity('visits')
@ForeignKey(() => VisitPlan, ['fleetId', 'visitPlanId'], ['fleetId', 'id'], { name: 'visits_plan_fk' })
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'visits_vehicle_fk' })
@ForeignKey(() => Depot, ['fleetId', 'depotId'], ['fleetId', 'id'], { name: 'visits_depot_fk' })
@ForeignKey(() => Person, ['fleetId', 'assignedTo'], ['fleetId', 'id'], { name: 'visits_assignee_fk' })
@Check('visits_cancel_ck', `("cancelled_at" is null) = ("cancel_reason" is null)`)
@Index('visits_day_ix', ['fleetId', 'day', 'id'], { where: 'cancelled_at is null' })
@Index('visits_cancelled_ix', ['fleetId', 'day', 'id'], { where: 'cancelled_at is not null' })
@Index('visits_vehicle_ix', ['fleetId', 'vehicleId', 'day', 'id'])
@Index('visits_depot_ix', ['fleetId', 'depotId', 'day', 'id'])
@Index('visits_plan_ix', ['fleetId', 'visitPlanId'])
@Index('visits_assignee_ix', ['fleetId', 'assignedTo', 'day', 'id'], { where: 'assigned_to is not null' })
export class Visit {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visits_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visits_pk' }) id!: string;
  /** Null: booked without a plan. */
  @Column('uuid', { nullable: true }) visitPlanId!: string | null;
  @Column('uuid') vehicleId!: string;
  @Column('uuid') depotId!: string;
  @Column('date') day!: string;
  @Column('double precision') hours!: number;
  @Column('timestamp with time zone') confirmedAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) cancelledAt!: Date | null;
  @Column('text', { nullable: true }) cancelReason!: string | null;
  /** The person who is to do it. */
  @Column('uuid', { nullable: true }) assignedTo!: string | null;
  @Column('integer', { default: 1 }) version!: number;
}

/** A due line that a visit was confirmed for, as it was then. */
@Entity('visit_lines')
@ForeignKey(() => Visit, ['fleetId', 'visitId'], ['fleetId', 'id'], { name: 'visit_lines_visit_fk' })
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'visit_lines_due_line_fk' })
@Index('visit_lines_due_line_ix', ['fleetId', 'dueLineId'])
export class VisitLine {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visit_lines_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visit_lines_pk' }) visitId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visit_lines_pk' }) dueLineId!: string;
  @Column('date') dueOn!: string;
  @Column('date', { nullable: true }) countsFrom!: string | null;
  @Column('double precision') hours!: number;
}
