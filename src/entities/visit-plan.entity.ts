import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn } from 'typeorm';
import { Depot } from './depot.entity.js';
import type { Message } from '../domain/message.js';
import type { LineLabour } from '../domain/visits/labour-hours.js';
import type { CostSplit } from '../domain/visits/types.js';
import { DueLine } from './due-line.entity.js';
import { Fleet } from './fleet.entity.js';
import { Vehicle } from './vehicle.entity.js';

export const PLAN_STATES = ['waiting', 'solving', 'solved', 'failed', 'confirmed'] as const;
export type PlanState = (typeof PLAN_STATES)[number];

/** The methods that can make a depot's plan. The cheapest plan is taken. */
export const PLAN_MAKERS = ['solver', 'prices', 'greedy'] as const;
export type PlanMaker = (typeof PLAN_MAKERS)[number];

/** The progress of one depot of a plan, and its result. */
export interface DepotOutcome {
  depotId: string;
  name: string;
  lines: number;
  state: 'waiting' | 'solved';
  /** The method that made the cheapest plan. Null until the depot is solved. */
  by: PlanMaker | null;
  cost: number | null;
  gap: number | null;
  /** Why the solver stopped early. */
  note: Message | null;
}

/**
 * A manager's question: which vehicles should come in, and when? The row also shows how far the
 * answer is.
 */
@Entity('visit_plans')
@ForeignKey(() => Fleet, ['fleetId'], ['id'], { name: 'visit_plans_fleet_fk' })
@Check('visit_plans_state_ck', `"state" in ('waiting', 'solving', 'solved', 'failed', 'confirmed')`)
@Check('visit_plans_order_ck', `"from_on" <= "to_on"`)
@Index('visit_plans_waiting_ix', ['fleetId', 'id'], { where: `state in ('waiting', 'solving')` })
export class VisitPlan {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visit_plans_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'visit_plans_pk' }) id!: string;
  @Column('date') fromOn!: string;
  @Column('date') toOn!: string;
  /** Null: all depots. */
  @Column('uuid', { array: true, nullable: true }) depotIds!: string[] | null;
  @Column('double precision') labourRate!: number;
  @Column('double precision') downtimeCostPerDay!: number;
  @Column('double precision') latenessCostPerDay!: number;
  @Column('text') state!: PlanState;
  /** Rises each time the plan is to be solved. The answer to an earlier round is discarded. */
  @Column('integer', { default: 1 }) round!: number;
  /** How often this round was begun. A round that crashes its worker every time is given up. */
  @Column('integer', { default: 0 }) attempts!: number;
  @Column('timestamp with time zone') requestedAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) solvedAt!: Date | null;
  @Column('timestamp with time zone', { nullable: true }) confirmedAt!: Date | null;
  @Column('jsonb', { default: [] }) depots!: DepotOutcome[];
  @Column('jsonb', { nullable: true }) costOnDueDays!: CostSplit | null;
  /** Proven lower bound: no plan costs less. */
  @Column('double precision', { nullable: true }) bound!: number | null;
  @Column('boolean', { default: false }) changedSinceSolved!: boolean;
  /** Why solving failed. */
  @Column('jsonb', { nullable: true }) problem!: Message | null;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('integer', { default: 1 }) version!: number;
}

/** A visit that a plan proposes. */
@Entity('planned_visits')
@ForeignKey(() => VisitPlan, ['fleetId', 'visitPlanId'], ['fleetId', 'id'], {
  name: 'planned_visits_plan_fk',
  onDelete: 'CASCADE',
})
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'planned_visits_vehicle_fk' })
@ForeignKey(() => Depot, ['fleetId', 'depotId'], ['fleetId', 'id'], { name: 'planned_visits_depot_fk' })
@Index('planned_visits_plan_ix', ['fleetId', 'visitPlanId', 'day', 'id'])
@Index('planned_visits_vehicle_ix', ['fleetId', 'vehicleId'])
@Index('planned_visits_depot_ix', ['fleetId', 'depotId'])
export class PlannedVisit {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'planned_visits_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'planned_visits_pk' }) id!: string;
  @Column('uuid') visitPlanId!: string;
  @Column('uuid') vehicleId!: string;
  @Column('uuid') depotId!: string;
  @Column('date') day!: string;
  @Column('double precision') hours!: number;
  @Column('jsonb') cost!: CostSplit;
  /** A manager has decided on it: solving again keeps its day. */
  @Column('boolean', { default: false }) isPinned!: boolean;
  /** A manager has rejected it: its lines are left for later. */
  @Column('boolean', { default: false }) isDropped!: boolean;
  @Column('integer', { default: 1 }) version!: number;
}

/**
 * A due line of a plan, as it was when the plan was solved. It is in one of the plan's visits, or
 * left for later with a reason.
 */
@Entity('planned_lines')
@ForeignKey(() => VisitPlan, ['fleetId', 'visitPlanId'], ['fleetId', 'id'], {
  name: 'planned_lines_plan_fk',
  onDelete: 'CASCADE',
})
@ForeignKey(() => PlannedVisit, ['fleetId', 'plannedVisitId'], ['fleetId', 'id'], {
  name: 'planned_lines_visit_fk',
  onDelete: 'CASCADE',
})
@ForeignKey(() => Vehicle, ['fleetId', 'vehicleId'], ['fleetId', 'id'], { name: 'planned_lines_vehicle_fk' })
@ForeignKey(() => DueLine, ['fleetId', 'dueLineId'], ['fleetId', 'id'], { name: 'planned_lines_due_line_fk' })
@Check('planned_lines_left_ck', `("planned_visit_id" is null) = ("reason" is not null)`)
@Index('planned_lines_visit_ix', ['fleetId', 'plannedVisitId'])
@Index('planned_lines_vehicle_ix', ['fleetId', 'vehicleId'])
@Index('planned_lines_due_line_ix', ['fleetId', 'dueLineId'])
export class PlannedLine {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'planned_lines_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'planned_lines_pk' }) visitPlanId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'planned_lines_pk' }) dueLineId!: string;
  @Column('uuid') vehicleId!: string;
  /** Null: left for later. */
  @Column('uuid', { nullable: true }) plannedVisitId!: string | null;
  @Column('jsonb', { nullable: true }) reason!: Message | null;
  /** The estimated cost of doing it later. Null in a visit, which has one cost as a whole. */
  @Column('jsonb', { nullable: true }) cost!: CostSplit | null;
  @Column('date') windowOpensOn!: string;
  @Column('date') dueOn!: string;
  @Column('date') lateOn!: string;
  /** The day it was last done. */
  @Column('date', { nullable: true }) countsFrom!: string | null;
  @Column('jsonb') labour!: LineLabour;
}
