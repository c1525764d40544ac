import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { ApiProperty } from '@nestjs/swagger';
import { Choice, Identifier } from '../../platform/fields/fields.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import {
  REMINDER_NEWS,
  REMINDER_STATUSES,
  type ReminderNews,
  type ReminderStatus,
  type Stage,
  STAGES,
} from '../../entities/reminder.entity.js';

export class ReminderQuery extends PageQueryDto {
  @Identifier({ optional: true }) targetId?: string;
  @Choice(REMINDER_STATUSES, { optional: true }) status?: ReminderStatus;
  @Identifier({ optional: true }) dueLineId?: string;
  @Identifier({ optional: true, description: 'What went into this digest' }) digestId?: string;
}

class ReminderVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) depotId!: string | null;
}

const id = { type: 'string', format: 'uuid', nullable: true } as const;

export class ReminderView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) targetId!: string;
  @ApiProperty({ enum: REMINDER_NEWS, description: 'The kind of news; a digest holds other reminders' })
  news!: ReminderNews;
  @ApiProperty(id) dueLineId!: string | null;
  @ApiProperty(id) lossAlertId!: string | null;
  @ApiProperty(id) readingId!: string | null;
  @ApiProperty(id) usageReadingId!: string | null;
  @ApiProperty({ ...id, description: 'The target that a delivery-trouble is about, if any' })
  troubledTargetId!: string | null;
  @ApiProperty({ ...id, description: 'The digest that holds it; send attempts are those of the digest' })
  digestId!: string | null;
  @ApiProperty({ type: () => ReminderVehicle, nullable: true }) vehicle!: ReminderVehicle | null;
  @ApiProperty({ type: 'string', nullable: true }) component!: string | null;
  @ApiProperty({ type: 'string', nullable: true }) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ type: 'string', nullable: true }) action!: string | null;
  @ApiProperty({ enum: STAGES, type: 'string', nullable: true, description: 'Of a due line' })
  stage!: Stage | null;
  @ApiProperty({ enum: REMINDER_STATUSES }) status!: ReminderStatus;
  @ApiProperty({
    description: 'The `webhook-id` of every attempt; the beginning of the `Message-ID` of e-mail',
  })
  webhookId!: string;
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
  @ApiProperty({ type: 'integer', nullable: true, description: 'The reply code of the mail server' })
  smtpStatus!: number | null;
  @ApiProperty({
    type: 'integer',
    nullable: true,
    description: 'Null while in progress, and for good if its worker died meanwhile',
  })
  durationMs!: number | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'What went wrong' })
  error!: MessageView | null;
  @ApiProperty({ type: 'string', nullable: true, description: 'The first 2 kB of the answer' })
  answer!: string | null;
}

export const ReminderAttemptPage = pageClass(ReminderAttemptView, 'ReminderAttemptPage');
