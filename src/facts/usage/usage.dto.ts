import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../../domain/quantities/units.js';
import {
  Choice,
  Flag,
  Identifier,
  Instant,
  NestedList,
  QuantityOf,
  Text,
} from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { MAX_BATCH, SOURCES } from './usage-batch.js';

/** For the API document only. A plain loop reads the items, up to five thousand at a time. */
export class UsageReadingInput {
  @Identifier({ optional: true, description: 'Or unitNumber' }) vehicleId?: string | null;
  @Text({ optional: true, max: 40 }) unitNumber?: string | null;
  @Instant() readAt!: string;
  @QuantityOf('distance', { optional: true }) odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
  @Flag({ optional: true, description: 'The value is the first of a new odometer' }) odometerReplaced?:
    boolean | null;
  @Flag({ optional: true }) engineHoursReplaced?: boolean | null;
  @Choice(SOURCES, { optional: true, description: 'manual unless given' }) source?: string | null;
}

export class UsageBatchInput {
  @NestedList(() => UsageReadingInput, { min: 1, max: MAX_BATCH }) readings!: UsageReadingInput[];
}

export class UsageResult {
  @ApiProperty() index!: number;
  @ApiProperty({ enum: ['accepted', 'duplicate', 'held', 'rejected'] }) status!:
    'accepted' | 'duplicate' | 'held' | 'rejected';
  @ApiProperty({ format: 'uuid', required: false }) id?: string;
  @ApiProperty({ required: false, description: 'Of a held or rejected reading' }) reason?: string;
  @ApiProperty({ required: false, description: 'Of a rejected reading: where the fault is in the body' })
  pointer?: string;
  @ApiProperty({ type: () => MessageView, required: false, description: 'Of a held or rejected reading' })
  detail?: MessageView;
}

export class UsageBatchResult {
  @ApiProperty() accepted!: number;
  @ApiProperty() duplicate!: number;
  @ApiProperty() held!: number;
  @ApiProperty() rejected!: number;
  @ApiProperty({ type: () => [UsageResult] }) results!: UsageResult[];
}

export class AcceptReadingInput {
  @Flag({
    optional: true,
    description:
      'The counter that the reading is held for was replaced: its value is the first of a new counter, as if it had been posted with odometerReplaced or engineHoursReplaced',
  })
  replaced?: boolean | null;
}

export class DiscardReadingInput {
  @Text({ optional: true, max: 500, description: 'Why it is left out, in your own words' })
  reason?: string | null;
}

export const USAGE_STATUSES = ['accepted', 'held', 'discarded', 'voided'] as const;

export class UsageQuery extends PageQueryDto {
  @Choice(USAGE_STATUSES, { optional: true, description: 'held unless given' }) status?: string;
  @Identifier({ optional: true }) vehicleId?: string;
}

export class UsageReadingView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty({ format: 'date-time' }) readAt!: string;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty() odometerReplaced!: boolean;
  @ApiProperty() engineHoursReplaced!: boolean;
  @ApiProperty({ enum: SOURCES }) source!: string;
  @ApiProperty({ enum: USAGE_STATUSES }) status!: string;
  @ApiProperty({ nullable: true, type: String }) reason!: string | null;
  @ApiProperty({ type: () => MessageView, nullable: true }) detail!: MessageView | null;
  @ApiProperty({ nullable: true, type: String, description: 'Why it was discarded, if somebody said so' })
  decisionReason!: string | null;
  @ApiProperty({ nullable: true, type: String, format: 'uuid' }) jobReportId!: string | null;
}

export const UsageReadingPage = pageClass(UsageReadingView, 'UsageReadingPage');

export class LastReadingView {
  @ApiProperty({ format: 'date-time' }) readAt!: string;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
}

export class DailyUsageView {
  @ApiProperty() value!: number;
  @ApiProperty() unit!: string;
  @ApiProperty({ description: 'Lower 90 % limit of the rate' }) low!: number;
  @ApiProperty() high!: number;
}

export class UsageView {
  @ApiProperty({ type: () => LastReadingView, nullable: true }) lastReading!: LastReadingView | null;
  @ApiProperty({ type: () => DailyUsageView, nullable: true }) dailyDistance!: DailyUsageView | null;
  @ApiProperty({ type: () => DailyUsageView, nullable: true }) dailyEngineHours!: DailyUsageView | null;
  @ApiProperty({
    nullable: true,
    type: String,
    description: 'How the rate was found: the distance rate, or without one the engine-hour rate',
  })
  method!: string | null;
  @ApiProperty({ description: 'The last reading is more than 60 days old' }) stale!: boolean;
  @QuantityOf('distance', { optional: true }) estimatedOdometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) estimatedEngineHours!: Quantity | null;
  @ApiProperty({ type: () => UsageReadingPage }) readings!: InstanceType<typeof UsageReadingPage>;
}
