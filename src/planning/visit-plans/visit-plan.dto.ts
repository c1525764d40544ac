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
    description: 'For each visit: it takes the vehicle out of work for a day',
  })
  downtimeCostPerDay!: number;
  @Amount({ min: 0, max: MOST_RATE, description: 'For each line and day after the day on which it is late' })
  latenessCostPerDay!: number;
}

export class PlannedVisitInput {
  @Flag({ optional: true, description: 'Solving again leaves it on its day, with its lines' }) pinned?:
    boolean | null;
  @CivilDate({ description: 'A visit that is moved to another day is pinned there' }) day!: string;
  @Flag({ optional: true, description: 'Its lines are left for later' }) dropped?: boolean | null;
}

export class CostView {
  @ApiProperty() labour!: number;
  @ApiProperty({ description: 'Days that vehicles are out of work' }) downtime!: number;
  @ApiProperty({
    description: 'Work that is done before it is due, as the share of its cycle that is thrown away',
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
  @ApiProperty({ format: 'date', description: 'As when the plan was solved' }) windowOpensOn!: string;
  @ApiProperty({ format: 'date' }) dueOn!: string;
  @ApiProperty(day) lateOn!: string | null;
  @ApiProperty({ description: 'Of this line by itself, with all that opens the way to it' })
  hoursAlone!: number;
  @ApiProperty({ description: 'A reading found something unsafe: it goes before all other work' })
  atOnce!: boolean;
}

export class PlannedVisitView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ type: () => PlannedVehicle }) vehicle!: PlannedVehicle;
  @ApiProperty({ format: 'uuid' }) depotId!: string;
  @ApiProperty({ format: 'date' }) day!: string;
  @ApiProperty({ description: 'Of labour; what opens the way to several lines is counted once' })
  hours!: number;
  @ApiProperty({
    type: () => CostView,
    description: 'Of a dropped visit: what its lines are reckoned to cost later',
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
  @ApiProperty({ ...cost, description: 'What it is reckoned to cost later' }) cost!: CostView | null;
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
    description: 'Why the solver did not come to its end',
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
      'By which share of its cost it could be dearer than the cheapest plan there is: (cost − bound) / cost. Null where none is proved',
  })
  gap!: number | null;
  @ApiProperty({ ...cost, description: 'Of the visits and of what is left for later' })
  cost!: CostView | null;
  @ApiProperty({
    ...cost,
    description:
      'Of each line on its own due day, or the first working day from then on; hours of labour at hand are not counted',
  })
  costOnDueDays!: CostView | null;
  @ApiProperty({ type: () => [PlannedVisitView], description: 'By day and unit number' })
  visits!: PlannedVisitView[];
  @ApiProperty({ type: () => [LineLeftView], description: 'By the day they are due' })
  leftForLater!: LineLeftView[];
}

export const VisitPlanPage = pageClass(VisitPlanSummary, 'VisitPlanPage');
