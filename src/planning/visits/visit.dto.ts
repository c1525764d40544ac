import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { AssignedTo } from '../../platform/fields/assigned-to.js';
import { MAX_BATCH } from '../../platform/http/batch.js';
import { Choice, CivilDate, Identifier, Identifiers, Text } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';

export const VISIT_STATES = ['planned', 'done', 'cancelled', 'lapsed'] as const;
export type VisitState = (typeof VISIT_STATES)[number];

const LINE_STATES = ['open', 'done', 'released'] as const;

export class VisitsQuery extends PageQueryDto {
  @Choice(VISIT_STATES, {
    optional: true,
    description:
      'planned unless given. done: no line is open any more; lapsed: none was done either, because they are no longer due or the vehicle has left the depot',
  })
  state?: VisitState;
  @Identifier({ optional: true }) depotId?: string;
  @Identifier({ optional: true }) vehicleId?: string;
  @AssignedTo() assignedTo?: string;
  @CivilDate({ optional: true, description: 'Visits on this day or later' }) from?: string;
  @CivilDate({ optional: true, description: 'Visits on this day or earlier' }) to?: string;
}

export class CancelInput {
  @Text({ max: 2000, description: 'Why, for whoever asks later' }) reason!: string;
}

export class AssignInput {
  @Identifier({ optional: true, description: 'Who is to do it; null: nobody any more' })
  personId?: string | null;
}

export class AssignManyInput extends AssignInput {
  @Identifiers({ min: 1, maxItems: MAX_BATCH, description: 'The visits' }) ids!: string[];
}

class VisitPerson {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
}

class VisitVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
}

export class VisitLineView {
  @ApiProperty({ format: 'uuid' }) dueLineId!: string;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty({ type: 'string', nullable: true }) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ format: 'date', description: 'As when the visit was confirmed' }) dueOn!: string;
  @ApiProperty({ description: 'A reading found something unsafe: it goes before the other lines' })
  atOnce!: boolean;
  @ApiProperty({ enum: LINE_STATES, description: 'released: no longer part of the visit' })
  state!: (typeof LINE_STATES)[number];
  @ApiProperty({ type: 'string', format: 'date', nullable: true }) doneOn!: string | null;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) jobReportId!: string | null;
}

/** A visit that a manager has confirmed. */
export class VisitView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: VISIT_STATES }) state!: VisitState;
  @ApiProperty({ description: 'Its day is past, and some of its lines are open' }) missed!: boolean;
  @ApiProperty({ type: () => VisitVehicle }) vehicle!: VisitVehicle;
  @ApiProperty({ format: 'uuid' }) depotId!: string;
  @ApiProperty({ format: 'date' }) day!: string;
  @ApiProperty({ description: 'Of labour' }) hours!: number;
  @ApiProperty({ type: () => VisitPerson, nullable: true, description: 'Who is to do it' })
  assignedTo!: VisitPerson | null;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true, description: 'Null: booked without a plan' })
  visitPlanId!: string | null;
  @ApiProperty({ format: 'date-time' }) confirmedAt!: string;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) cancelledAt!: string | null;
  @ApiProperty({ type: 'string', nullable: true }) cancelReason!: string | null;
  @ApiProperty({ type: () => [VisitLineView] }) lines!: VisitLineView[];
  @ApiProperty() version!: number;
}

class VisitOutcome {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ type: 'integer', description: 'As if the visit had been sent alone' }) status!: number;
  @ApiProperty({ type: () => VisitView, required: false }) visit?: VisitView;
  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'Why this visit was left as it was (RFC 9457)',
  })
  problem?: Record<string, unknown>;
}

export class ManyVisitsResult {
  @ApiProperty({ type: () => [VisitOutcome], description: 'In the order of the ids' })
  results!: VisitOutcome[];
  @ApiProperty({ type: 'integer', minimum: 0 }) done!: number;
  @ApiProperty({ type: 'integer', minimum: 0 }) refused!: number;
}

export const VisitPage = pageClass(VisitView, 'VisitPage');
