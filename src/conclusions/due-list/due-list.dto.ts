import { ApiProperty, IntersectionType, OmitType } from '@nestjs/swagger';
import { DeliveryTroubleView } from '../../telling/delivery-troubles/delivery-trouble.dto.js';
import { ACTIONS, COMPONENTS, type DueState, type Trigger } from '../../domain/intervals/types.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { ByteOrderMark } from '../../platform/csv/csv-answer.js';
import {
  Choice,
  ChoiceList,
  CivilDate,
  Identifier,
  Nested,
  QuantityOf,
  Text,
} from '../../platform/fields/fields.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { AssignedTo } from '../../platform/fields/assigned-to.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { DueLineView } from './due-line-view.js';
import { DUE_STATES } from './due-states.js';

const TRIGGERS: readonly Trigger[] = ['distance', 'time', 'engine-hours'];

/** Filters: which lines a summary counts. */
export class DueLineFilters {
  @Identifier({ optional: true }) depotId?: string;
  @Choice(COMPONENTS, { optional: true }) component?: string;
  @Choice(ACTIONS, { optional: true }) action?: string;
  @Identifier({ optional: true }) vehicleId?: string;
  @Text({ optional: true, max: 40, description: 'Part of the unit number' }) q?: string;
}

export class DueListQuery extends IntersectionType(PageQueryDto, DueLineFilters) {
  @AssignedTo() assignedTo?: string;
  @ChoiceList(DUE_STATES, { optional: true, description: 'late,due,window unless given' }) state?: string;
  @CivilDate({ optional: true, description: 'Lines that are due before this day' }) dueBefore?: string;
  @Choice(['dueOn'], {
    optional: true,
    description: 'Lines that are due at once first; then by the day they are due, then by id',
  })
  sort?: string;
}

/** The filters of the list, for the whole list in one file. */
export class DueListCsvQuery extends OmitType(DueListQuery, ['limit', 'cursor']) {
  @ByteOrderMark() bom?: string;
}

export class PostponedUsage {
  @QuantityOf('distance', { optional: true, description: 'What the odometer will show' })
  odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
}

/** Until when a line is postponed: either a day or a usage. */
export class PostponeInput {
  @CivilDate({
    optional: true,
    description: 'A day later than the line is due, and within 12 months',
  })
  until?: string | null;
  @Nested(() => PostponedUsage, {
    optional: true,
    description:
      'A counter value that is reached within 12 months; if both are given, the first to be reached',
  })
  untilUsage?: PostponedUsage | null;
  @Text({ max: 2000, description: 'Why, for whoever asks later' }) reason!: string;
}

class DueLineVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) depotId!: string | null;
}

class DueAt {
  @QuantityOf('distance', { optional: true, description: 'What the odometer will show' })
  odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ type: 'string', format: 'date', nullable: true }) date!: string | null;
}

class Remaining {
  @QuantityOf('distance', { optional: true, description: 'Negative past the due point' })
  distance!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ type: 'integer', nullable: true }) days!: number | null;
}

class LastDone {
  @ApiProperty({ format: 'date' }) on!: string;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true, description: 'Null: the day in service' })
  jobReportId!: string | null;
}

class VisitOfLine {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date' }) on!: string;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true, description: 'The person who is to do it' })
  assignedTo!: string | null;
}

const day = { type: 'string', format: 'date', nullable: true } as const;

/** A due line, for the API document. */
export class DueLineItem implements DueLineView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: DUE_STATES }) state!: DueState;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ type: 'string', nullable: true, description: 'Which one of several' }) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty({ enum: ['interval', 'follow-up'] }) origin!: 'interval' | 'follow-up';
  @ApiProperty({ type: () => DueLineVehicle }) vehicle!: DueLineVehicle;
  @ApiProperty({ enum: TRIGGERS, nullable: true, description: 'Which limit comes first' })
  trigger!: Trigger | null;
  @ApiProperty(day) windowOpensOn!: string | null;
  @ApiProperty(day) dueOn!: string | null;
  @ApiProperty(day) lateOn!: string | null;
  @ApiProperty({ ...day, description: 'With `latestOn`: the 90 % limits of a projected `dueOn`' })
  earliestOn!: string | null;
  @ApiProperty(day) latestOn!: string | null;
  @ApiProperty({ type: () => DueAt }) dueAt!: DueAt;
  @ApiProperty({ type: () => Remaining }) remaining!: Remaining;
  @ApiProperty({ type: () => LastDone, nullable: true }) lastDone!: LastDone | null;
  @ApiProperty({ description: 'It depends on a reading more than 60 days old' }) stale!: boolean;
  @ApiProperty({ description: 'A usage limit gives no date because there is no reading' })
  needsReading!: boolean;
  @ApiProperty({ ...day, description: 'Postponed by a manager: `dueOn` is then this day' })
  postponedUntil!: string | null;
  @ApiProperty({
    description:
      'A reading found something unsafe: the line was due the day it was opened, and is listed first',
  })
  atOnce!: boolean;
  @ApiProperty({
    type: () => [MessageView],
    description:
      'Why a follow-up is open, the worst first: what is wrong, and what to do; empty for an interval',
  })
  causes!: MessageView[];
  @ApiProperty({
    type: () => [MessageView],
    description:
      'Says so if the interval is from a ready-made set that no manager has confirmed or replaced; empty otherwise',
  })
  basis!: MessageView[];
  @ApiProperty({
    description:
      'The vehicle was released for service despite the failed safety reading that opened the line, and that is not settled yet',
  })
  releasedWithFindings!: boolean;
  @ApiProperty({ type: () => VisitOfLine, nullable: true, description: 'The visit for which it is planned' })
  visit!: VisitOfLine | null;
}

export class DueListPage {
  @ApiProperty({
    format: 'date',
    description: "Today in the fleet's zone; later pages keep the first page's day",
  })
  asOf!: string;
  @ApiProperty({ type: () => [DueLineItem] }) items!: DueLineView[];
  @ApiProperty({ type: 'string', nullable: true, description: 'Cursor of the next page; null on the last' })
  next!: string | null;
}

const count = { type: 'integer', minimum: 0 } as const;

export class StateCounts {
  @ApiProperty(count) 'late'!: number;
  @ApiProperty(count) 'due'!: number;
  @ApiProperty(count) 'window'!: number;
  @ApiProperty(count) 'not-due'!: number;
  @ApiProperty(count) 'no-baseline'!: number;
}

class ComponentCounts {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ type: () => StateCounts }) states!: StateCounts;
}

class DepotCounts {
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true, description: 'Null: at no depot' })
  depotId!: string | null;
  @ApiProperty({ type: 'string', nullable: true }) name!: string | null;
  @ApiProperty({ type: () => StateCounts }) states!: StateCounts;
}

class DoneCounts {
  @ApiProperty({ format: 'date' }) from!: string;
  @ApiProperty({ format: 'date' }) to!: string;
  @ApiProperty({ ...count, description: 'Done before they were late' }) onTime!: number;
  @ApiProperty(count) late!: number;
}

export class DueListSummary {
  @ApiProperty({ format: 'date' }) asOf!: string;
  @ApiProperty({ type: () => StateCounts }) states!: StateCounts;
  @ApiProperty({ type: () => [ComponentCounts] }) components!: ComponentCounts[];
  @ApiProperty({ type: () => [DepotCounts] }) depots!: DepotCounts[];
  @ApiProperty({ type: () => DoneCounts, description: 'The last 90 days, today included' }) done!: DoneCounts;
  @ApiProperty({
    type: () => DeliveryTroubleView,
    isArray: true,
    required: false,
    description: 'Why reminders may be late or not arriving; for managers only',
  })
  deliveryTroubles?: DeliveryTroubleView[];
}
