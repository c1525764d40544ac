import { ApiProperty } from '@nestjs/swagger';
import { Choice, Identifier } from '../platform/http/fields.js';
import { PageQueryDto } from '../platform/http/page-query.dto.js';
import { pageClass } from '../platform/http/pages.js';
import { REMINDER_STATUSES, type ReminderStatus, type Stage, STAGES } from './reminder.entity.js';

export class ReminderQuery extends PageQueryDto {
  @Identifier({ optional: true }) targetId?: string;
  @Choice(REMINDER_STATUSES, { optional: true }) status?: ReminderStatus;
  @Identifier({ optional: true }) dueLineId?: string;
}

class ReminderVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) depotId!: string | null;
}

export class ReminderView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) targetId!: string;
  @ApiProperty({ format: 'uuid' }) dueLineId!: string;
  @ApiProperty({ type: () => ReminderVehicle }) vehicle!: ReminderVehicle;
  @ApiProperty() component!: string;
  @ApiProperty({ type: 'string', nullable: true }) item!: string | null;
  @ApiProperty() action!: string;
  @ApiProperty({ enum: STAGES }) stage!: Stage;
  @ApiProperty({ enum: REMINDER_STATUSES }) status!: ReminderStatus;
  @ApiProperty({ description: 'The `webhook-id` of every attempt' }) webhookId!: string;
  @ApiProperty({ type: 'integer', description: 'Attempts begun since it was queued or resent' })
  attempts!: number;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true, description: 'While it is waiting' })
  nextAttemptAt!: string | null;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) sentAt!: string | null;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
}

export const ReminderPage = pageClass(ReminderView, 'ReminderPage');

export class ReminderAttemptView {
  @ApiProperty({ type: 'integer' }) number!: number;
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ type: 'integer', nullable: true, description: 'Null when no answer came' })
  httpStatus!: number | null;
  @ApiProperty({ type: 'integer' }) durationMs!: number;
  @ApiProperty({ type: 'string', nullable: true }) error!: string | null;
  @ApiProperty({ type: 'string', nullable: true, description: 'The first 2 kB of the answer' })
  answer!: string | null;
}

export const ReminderAttemptPage = pageClass(ReminderAttemptView, 'ReminderAttemptPage');
