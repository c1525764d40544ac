import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { ApiProperty } from '@nestjs/swagger';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { Amount, CivilDate, Flag, Identifiers } from '../../platform/fields/fields.js';
import { pageClass } from '../../platform/pages/pages.js';
import { PLAN_MAKERS, PLAN_STATES, type PlanState } from '../../entities/visit-plan.entity.js';

const MOST_RATE = 1_000_000;

export class VisitPlanInput {
  @CivilDate({ description: 'The first day on which a vehicle may come in; today or later' }) from!: string;
  @CivilDate({
    description: 'The last such day, at most 92 days later; lines that are due by then are planned',
  })
  to!: string;
  @Identifiers({ optional: true, maxItems: 200, description: 'All depots unless given' })
  depotIds?: string[] | null;
  @Amount({ min: 0, max: MOST_RATE, description: 'For an hour of labour, in any one currency' })
  labourRate!: number;
  @Amount({
    min: 0,
    max: MOST_RATE,
    description: 'Per visit, because it takes the vehicle out of work for a day',
  })
  downtimeCostPerDay!: number;
  @Amount({ min: 0, max: MOST_RATE, description: 'For each line and day after the day on which it is late' })
  latenessCostPerDay!: number;
}

export class PlannedVisitInput {
  @Flag({ optional: true, description: 'Solving again keeps its day and its lines' }) pinned?: boolean | null;
  @CivilDate({ description: 'Moves the visit, and pins it to this day' }) day!: string;
  @Flag({ optional: true, description: 'Its lines are left for later' }) dropped?: boolean | null;
}

export class CostView {
  @ApiProperty() labour!: number;
  @ApiProperty({ description: 'Days that vehicles are out of work' }) downtime!: number;
  @ApiProperty({
    description: 'Work done early: the share of its cycle that is lost',
  })
  lifeThrownAway!: number;
  @ApiProperty() lateness!: number;
  @ApiProperty() total!: number;
}

const cost = { type: () => CostView, nullable: true } as const;
const day = { type: 'string', format: 'date', nullable: true } as const;
const instant = { type: 'string', format: 'date-time', nullable: true } as const;

export class PlannedVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
}

export class PlannedLineView {
  @ApiProperty({ format: 'uuid' }) dueLineId!: string;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty({ type: 'string', nullable: true }) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ format: 'date', description: 'As when the plan was solved' }) windowOpensOn!: string;
  @ApiProperty({ format: 'date' }) dueOn!: string;
  @ApiProperty(day) lateOn!: string | null;
  @ApiProperty({ description: 'Of this line alone, with all its access work' })
  hoursAlone!: number;
  @ApiProperty({ description: 'A reading found something unsafe: it goes before all other work' })
  atOnce!: boolean;
  @ApiProperty({
    type: () => [MessageView],
    description:
      'Says so if the interval is from a ready-made set that no manager has confirmed or replaced; empty otherwise',
  })
  basis!: MessageView[];
}

export class PlannedVisitView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ type: () => PlannedVehicle }) vehicle!: PlannedVehicle;
  @ApiProperty({ format: 'uuid' }) depotId!: string;
  @ApiProperty({ format: 'date' }) day!: string;
  @ApiProperty({ description: 'Of labour; access work shared by several lines is counted once' })
  hours!: number;
  @ApiProperty({
    type: () => CostView,
    description: 'For a dropped visit: the estimated later cost of its lines',
  })
  cost!: CostView;
  @ApiProperty() pinned!: boolean;
  @ApiProperty() dropped!: boolean;
  @ApiProperty({ type: () => [PlannedLineView] }) lines!: PlannedLineView[];
  @ApiProperty() version!: number;
}

export class LineLeftView extends PlannedLineView {
  @ApiProperty({ type: () => PlannedVehicle }) vehicle!: PlannedVehicle;
  @ApiProperty({ type: () => MessageView, description: 'Why' }) reason!: MessageView;
  @ApiProperty({ ...cost, description: 'Estimated cost if done later' }) cost!: CostView | null;
}

class DepotProgress {
  @ApiProperty({ format: 'uuid' }) depotId!: string;
  @ApiProperty() name!: string;
  @ApiProperty({ type: 'integer' }) lines!: number;
  @ApiProperty({ enum: ['waiting', 'solved'] }) state!: string;
  @ApiProperty({
    type: 'string',
    enum: PLAN_MAKERS,
    nullable: true,
    description: 'Whose plan was the cheapest',
  })
  by!: string | null;
  @ApiProperty({ type: 'number', nullable: true }) cost!: number | null;
  @ApiProperty({ type: 'number', nullable: true, description: 'As of the whole plan' }) gap!: number | null;
  @ApiProperty({
    type: () => MessageView,
    nullable: true,
    description: 'Why the solver did not finish',
  })
  note!: MessageView | null;
}

class PlanProgress {
  @ApiProperty({ description: 'Of the lines, 0 to 1' }) share!: number;
  @ApiProperty({ type: () => [DepotProgress] }) depots!: DepotProgress[];
}

/** A plan without its visits, for lists. */
export class VisitPlanSummary {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: PLAN_STATES }) state!: PlanState;
  @ApiProperty({ format: 'date' }) from!: string;
  @ApiProperty({ format: 'date' }) to!: string;
  @ApiProperty({ type: [String], format: 'uuid', nullable: true, description: 'Null: all depots' })
  depotIds!: string[] | null;
  @ApiProperty() labourRate!: number;
  @ApiProperty() downtimeCostPerDay!: number;
  @ApiProperty() latenessCostPerDay!: number;
  @ApiProperty({ format: 'date-time' }) requestedAt!: string;
  @ApiProperty(instant) solvedAt!: string | null;
  @ApiProperty(instant) confirmedAt!: string | null;
  @ApiProperty({ type: () => PlanProgress }) progress!: PlanProgress;
  @ApiProperty({ description: 'A visit was moved or dropped since: solve again to know the gap' })
  changedSinceSolved!: boolean;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Why it failed' })
  problem!: MessageView | null;
  @ApiProperty() version!: number;
}

export class VisitPlanView extends VisitPlanSummary {
  @ApiProperty({
    type: 'number',
    nullable: true,
    description:
      'How far it may be from the cheapest possible plan, as a share of its cost: (cost − bound) / cost. Null if no bound is proved',
  })
  gap!: number | null;
  @ApiProperty({ ...cost, description: 'Cost of the visits and of what is left for later' })
  cost!: CostView | null;
  @ApiProperty({
    ...cost,
    description:
      'Cost of doing each line on its own due day, or the next working day; available hours of labour are not considered',
  })
  costOnDueDays!: CostView | null;
  @ApiProperty({ type: () => [PlannedVisitView], description: 'By day and unit number' })
  visits!: PlannedVisitView[];
  @ApiProperty({ type: () => [LineLeftView], description: 'By the day they are due' })
  leftForLater!: LineLeftView[];
}

export const VisitPlanPage = pageClass(VisitPlanSummary, 'VisitPlanPage');
