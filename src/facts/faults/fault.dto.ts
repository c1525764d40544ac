import { ApiProperty } from '@nestjs/swagger';
import { MOST_OCCURRENCES } from '../../domain/faults/fault-code.js';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { CIRCUITS, type CircuitName } from '../../domain/vehicles/circuits.js';
import { FAULT_REPORTERS, type FaultReporter } from '../../entities/fault.entity.js';
import { Amount, Choice, Flag, Identifier, Instant, NestedList, Text } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import { MessageView } from '../../platform/words/message.dto.js';

export const MOST_FAULTS = 200;

export class FaultInput {
  @Identifier({ optional: true, description: 'Or unitNumber' }) vehicleId?: string | null;
  @Text({ optional: true, max: 40 }) unitNumber?: string | null;
  @Text({
    max: 60,
    description: 'As SAE J1939-73 gives it, SPN 110 FMI 0, or as SAE J2012 / ISO 15031-6 does, P0217',
  })
  code!: string;
  @Instant({ description: 'When it was seen' }) seenAt!: string;
  @Flag({ optional: true, description: 'false: it was read as gone; true unless given' })
  active?: boolean | null;
  @Amount({
    optional: true,
    min: 0,
    max: MOST_OCCURRENCES,
    integer: true,
    description: 'How often the vehicle counted it',
  })
  occurrences?: number | null;
}

export class FaultsInput {
  @NestedList(() => FaultInput, { min: 1, max: MOST_FAULTS }) faults!: FaultInput[];
}

export const FAULT_STATES = ['active', 'gone', 'voided'] as const;
export type FaultState = (typeof FAULT_STATES)[number];

export class FaultsOfVehicleQuery extends PageQueryDto {
  @Choice(FAULT_STATES, { optional: true, description: 'active and gone unless given' }) state?: FaultState;
  @Choice(['known', 'unknown'], {
    optional: true,
    description: 'known: those that mean something for the cooling system or the belt drive',
  })
  meaning?: 'known' | 'unknown';
  @Text({ optional: true, max: 60, description: 'Such as SPN 110 FMI 0 or P0217' }) code?: string;
}

export class FaultQuery extends FaultsOfVehicleQuery {
  @Identifier({ optional: true }) vehicleId?: string;
  @Identifier({ optional: true, description: "The vehicle's depot" }) depotId?: string;
}

export class FaultLineView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty({ description: 'Due the day that it was opened' }) atOnce!: boolean;
  @ApiProperty({ type: String, format: 'date', nullable: true }) dueOn!: string | null;
  @ApiProperty({
    type: () => [MessageView],
    description: 'Why it is open: what is wrong, and what is left to do',
  })
  causes!: MessageView[];
}

export class FaultView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({ example: 'SPN 110 FMI 0' }) code!: string;
  @ApiProperty({ type: Number, nullable: true, description: 'Of SAE J1939' }) spn!: number | null;
  @ApiProperty({ type: Number, nullable: true, description: 'Of SAE J1939' }) fmi!: number | null;
  @ApiProperty({
    type: String,
    enum: CIRCUITS,
    nullable: true,
    description: 'The circuit whose coolant it is about; null where it is about none, or means nothing here',
  })
  circuit!: CircuitName | null;
  @ApiProperty({
    type: () => MessageView,
    nullable: true,
    description: 'What it means for the cooling system or the belt drive; null: nothing',
  })
  meaning!: MessageView | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Where the meaning comes from' })
  source!: MessageView | null;
  @ApiProperty({ enum: FAULT_STATES }) state!: FaultState;
  @ApiProperty({ format: 'date-time' }) firstSeenAt!: string;
  @ApiProperty({ format: 'date-time', description: 'When it was last seen active' }) lastSeenAt!: string;
  @ApiProperty({ type: String, format: 'date-time', nullable: true }) goneAt!: string | null;
  @ApiProperty({ type: Number, nullable: true }) occurrences!: number | null;
  @ApiProperty({ enum: FAULT_REPORTERS, isArray: true }) reportedBy!: FaultReporter[];
  @ApiProperty({
    type: () => [FaultLineView],
    description: 'Open due lines that it opened, or gave another reason to stay open',
  })
  followUps!: FaultLineView[];
  @ApiProperty({ type: String, format: 'date-time', nullable: true }) voidedAt!: string | null;
  @ApiProperty({ type: String, nullable: true }) voidReason!: string | null;
}

export class FaultsView {
  @ApiProperty({
    type: () => [FaultView],
    description: 'The faults that were posted, each once; none for a code read as gone that was never seen',
  })
  faults!: FaultView[];
}

export const FaultPage = pageClass(FaultView, 'FaultPage');
