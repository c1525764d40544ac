import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../../domain/quantities/units.js';
import { Identifier, Instant, NestedList, QuantityOf, Text } from '../../platform/fields/fields.js';
import { pageClass } from '../../platform/pages/pages.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { MOST_SAMPLES } from './temperature-batch.js';

/** For the API document only. A plain loop reads the items, up to five thousand at a time. */
export class TemperatureInput {
  @Identifier({ optional: true, description: 'Or unitNumber' }) vehicleId?: string | null;
  @Text({ optional: true, max: 40 }) unitNumber?: string | null;
  @Instant() readAt!: string;
  @QuantityOf('temperature', { description: "Of the coolant of the vehicle's first circuit" })
  temperature!: Quantity;
}

export class TemperaturesInput {
  @NestedList(() => TemperatureInput, { min: 1, max: MOST_SAMPLES }) samples!: TemperatureInput[];
}

const REASONS = ['unacceptable', 'unknown-vehicle', 'sensor', 'in-the-future', 'day-closed'] as const;

export class TemperatureResult {
  @ApiProperty({ description: 'Its place in the list, from 0' }) index!: number;
  @ApiProperty({ enum: ['accepted', 'rejected'], description: 'accepted: stored, or known already' })
  status!: 'accepted' | 'rejected';
  @ApiProperty({
    enum: REASONS,
    required: false,
    description:
      'Of a rejected one. sensor: no coolant has this temperature. day-closed: so long ago that the figures of its day no longer change',
  })
  reason?: string;
  @ApiProperty({ required: false, description: 'Of a rejected one: where the fault is in the body' })
  pointer?: string;
  @ApiProperty({ type: () => MessageView, required: false, description: 'Of a rejected one' })
  detail?: MessageView;
}

export class TemperaturesResult {
  @ApiProperty() accepted!: number;
  @ApiProperty() rejected!: number;
  @ApiProperty({ type: () => [TemperatureResult] }) results!: TemperatureResult[];
}

const minutes = (description: string) => ({ type: Number, nullable: true, description });

export class TemperatureDayView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty({ format: 'date', description: "In the fleet's zone" }) day!: string;
  @ApiProperty({ description: 'Minutes with a value. A minute counts once, by its highest value' })
  samples!: number;
  @QuantityOf('temperature') highest!: Quantity;
  @QuantityOf('temperature', {
    optional: true,
    description: 'The 95th percentile of the values of the warm engine; null where there were too few',
  })
  hotEnd!: Quantity | null;
  @QuantityOf('temperature', {
    optional: true,
    description: "The spec sheet's, as it was when the day's first value came; null: the sheet has none",
  })
  alarm!: Quantity | null;
  @ApiProperty(minutes('Of the samples, those at or above the alarm; null without an alarm'))
  samplesAboveAlarm!: number | null;
  @ApiProperty(
    minutes('Time at or above the alarm; null without an alarm, and with values too far apart to tell'),
  )
  minutesAboveAlarm!: number | null;
  @ApiProperty({
    description:
      'Several values in a row were at or above the alarm: the inspection after overheating is due',
  })
  overheated!: boolean;
  @ApiProperty(
    minutes('From 40 °C until warm at the first cold start; null without one, or with values too far apart'),
  )
  warmUpMinutes!: number | null;
  @ApiProperty(minutes('The middle one of the times between neighbouring values')) usualGapMinutes!:
    number | null;
  @ApiProperty(minutes('The longest time without a value between the first and the last'))
  largestGapMinutes!: number | null;
  @ApiProperty({ description: 'Too long ago: its figures no longer change' }) closed!: boolean;
  @ApiProperty({ type: String, format: 'date-time', nullable: true }) voidedAt!: string | null;
  @ApiProperty({ type: String, nullable: true }) voidReason!: string | null;
}

export const TemperatureDayPage = pageClass(TemperatureDayView, 'TemperatureDayPage');

export class HotBlockView {
  @ApiProperty({ format: 'date' }) from!: string;
  @ApiProperty({ format: 'date' }) until!: string;
  @ApiProperty({ description: 'Days with a hot end' }) days!: number;
  @QuantityOf('temperature', {
    optional: true,
    description: "The median of the days' hot ends; null with too few days",
  })
  hotEnd!: Quantity | null;
}

export class TemperatureTrendView {
  @ApiProperty({
    type: Boolean,
    nullable: true,
    description: 'Whether the coolant runs hotter and hotter; null: too little is known',
  })
  hotter!: boolean | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'What to look at' })
  finding!: MessageView | null;
  @QuantityOf('temperature', { optional: true, description: 'The hot end of the last four weeks' })
  now!: Quantity | null;
  @QuantityOf('temperature', {
    optional: true,
    description: 'The hottest four weeks around the same time of the year before',
  })
  yearBefore!: Quantity | null;
  @ApiProperty({ type: () => [HotBlockView], description: 'Four weeks each, latest first' })
  blocks!: HotBlockView[];
  @ApiProperty({
    type: String,
    format: 'date',
    nullable: true,
    description:
      'Only later days count: that day a part was replaced or cleaned that changes the temperature',
  })
  since!: string | null;
  @ApiProperty({ type: () => [MessageView], description: 'How it is found' }) basis!: MessageView[];
}
