import { ApiProperty } from '@nestjs/swagger';
import { MessageView } from '../../../platform/words/message.dto.js';
import { COMPONENTS, DUTIES } from '../../../domain/intervals/types.js';
import {
  Amount,
  Choice,
  Choices,
  Flag,
  Identifier,
  Identifiers,
  Nested,
  Text,
  TimeOfDay,
} from '../../../platform/fields/fields.js';
import { type Language, LANGUAGES } from '../../../platform/words/languages.js';
import { pageClass } from '../../../platform/pages/pages.js';
import type { Duty } from '../../../entities/vehicle.entity.js';
import {
  type News,
  NEWS,
  type Stage,
  STAGES,
  URGENT,
  type Urgent,
  TARGET_KINDS,
  type TargetKind,
} from '../../../entities/reminder.entity.js';

export const DIGESTS = ['each', 'daily'] as const;

export class SendBetween {
  @TimeOfDay({ description: 'The first time of day, in the fleet’s zone, for sending' }) from!: string;
  @TimeOfDay({ description: 'Sent before this time of day; earlier than `from` means past midnight' })
  to!: string;
}

export class ReminderTargetInput {
  @Choice(TARGET_KINDS, {
    description: "email needs a mail server in the service's settings. It cannot be changed later",
  })
  kind!: TargetKind;
  @Text({
    max: 2000,
    description: 'An https address, or an e-mail address',
    example: 'https://example.org/hooks/fleet',
  })
  address!: string;
  @Choices(NEWS, {
    optional: true,
    min: 1,
    description:
      'Kinds of news; due-line, loss-alert, failed-reading and delivery-trouble (reminders to another target are late or not arriving) unless given',
  })
  hears?: News[] | null;
  @Choices(STAGES, { optional: true, min: 1, description: 'Which stages of due lines; all unless given' })
  stages?: Stage[] | null;
  @Amount({
    optional: true,
    min: 1,
    max: 365,
    integer: true,
    description: 'Remind again of a line that stays late, after this many days; null: only once',
  })
  repeatLateDays?: number | null;
  @Identifiers({ optional: true, description: 'Only news of vehicles of these depots; empty means all' })
  depotIds?: string[] | null;
  @Choices(COMPONENTS, { optional: true, description: 'Only lines of these components; empty means all' })
  components?: string[] | null;
  @Choices(DUTIES, { optional: true, description: 'Only news of vehicles of this duty; empty means all' })
  duties?: Duty[] | null;
  @Identifiers({ optional: true, description: 'Only news of vehicles on these plans; empty means all' })
  intervalPlanIds?: string[] | null;
  @Identifiers({ optional: true, description: 'Only news of these vehicles; empty means all' })
  vehicleIds?: string[] | null;
  @Identifier({
    optional: true,
    description:
      'A person: of the due lines, only those of visits assigned to this person. `hears` is then due-line unless given',
  })
  personId?: string | null;
  @Choice(DIGESTS, {
    optional: true,
    description:
      'each unless given; daily: one message a day, in the morning. Loss alerts, failed readings and lines that are due at once always go by themselves',
  })
  digest?: (typeof DIGESTS)[number] | null;
  @Nested(() => SendBetween, {
    optional: true,
    description: 'Hours in which reminders are sent; null: at any hour',
  })
  sendBetween?: SendBetween | null;
  @Choice(URGENT, {
    optional: true,
    description:
      'at-any-hour unless given: what is due at once is sent outside sendBetween too; within-hours: it waits. A digest never delays it',
  })
  urgent?: Urgent | null;
  @Choice(LANGUAGES, {
    optional: true,
    description: 'The language of its messages; the fleet’s unless given',
  })
  language?: Language | null;
  @Flag({
    optional: true,
    description: 'False: nothing is sent. True also re-enables a target that was disabled',
  })
  enabled?: boolean | null;
}

export class ReminderTargetView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: TARGET_KINDS }) kind!: TargetKind;
  @ApiProperty() address!: string;
  @ApiProperty({ enum: NEWS, isArray: true }) hears!: News[];
  @ApiProperty({ enum: STAGES, isArray: true }) stages!: Stage[];
  @ApiProperty({ type: 'integer', nullable: true }) repeatLateDays!: number | null;
  @ApiProperty({ type: 'string', format: 'uuid', isArray: true }) depotIds!: string[];
  @ApiProperty({ enum: COMPONENTS, isArray: true }) components!: string[];
  @ApiProperty({ enum: DUTIES, isArray: true }) duties!: Duty[];
  @ApiProperty({ type: 'string', format: 'uuid', isArray: true }) intervalPlanIds!: string[];
  @ApiProperty({ type: 'string', format: 'uuid', isArray: true }) vehicleIds!: string[];
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) personId!: string | null;
  @ApiProperty({ enum: DIGESTS }) digest!: (typeof DIGESTS)[number];
  @ApiProperty({ type: () => SendBetween, nullable: true }) sendBetween!: SendBetween | null;
  @ApiProperty({ enum: URGENT }) urgent!: Urgent;
  @ApiProperty({ enum: LANGUAGES, nullable: true, type: String }) language!: Language | null;
  @ApiProperty() enabled!: boolean;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) disabledAt!: string | null;
  @ApiProperty({ type: () => MessageView, nullable: true }) disabledReason!: MessageView | null;
  @ApiProperty({
    type: 'string',
    format: 'date-time',
    nullable: true,
    description: 'Reminders have been refused or given up since then; none has been accepted',
  })
  failingSince!: string | null;
  @ApiProperty({
    type: () => MessageView,
    nullable: true,
    description: 'How the first of those attempts went',
  })
  failingReason!: MessageView | null;
  @ApiProperty({
    type: 'string',
    format: 'date-time',
    nullable: true,
    description: 'Until then messages are also signed with the previous secret',
  })
  previousSecretUntil!: string | null;
  @ApiProperty() version!: number;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
}

export class NewReminderTargetView extends ReminderTargetView {
  @ApiProperty({
    type: 'string',
    nullable: true,
    description:
      'Signing secret by the Standard Webhooks specification. Shown only now; null for e-mail, and when the same request is repeated',
    example: 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw',
  })
  secret!: string | null;
}

export class RotationInput {
  @Amount({
    optional: true,
    min: 0,
    max: 168,
    description: 'Hours for which messages are also signed with the old secret; 24 unless given',
  })
  overlapHours?: number | null;
}

export class RotatedSecretView {
  @ApiProperty({
    type: 'string',
    nullable: true,
    description: 'The new signing secret. Shown only now; null when the same request is repeated',
    example: 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw',
  })
  secret!: string | null;
  @ApiProperty({
    format: 'date-time',
    description: 'Until then messages are also signed with the previous secret',
  })
  previousSecretUntil!: string;
}

export const ReminderTargetPage = pageClass(ReminderTargetView, 'ReminderTargetPage');

/** The result of the test message. */
export class TestResult {
  @ApiProperty({ description: 'Whether the receiver answered 2xx, or the mail server took it' })
  delivered!: boolean;
  @ApiProperty({ type: 'integer', nullable: true }) httpStatus!: number | null;
  @ApiProperty({ type: 'integer', nullable: true, description: 'The reply code of the mail server' })
  smtpStatus!: number | null;
  @ApiProperty({ type: 'integer' }) durationMs!: number;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'What went wrong' })
  error!: MessageView | null;
  @ApiProperty({ type: 'string', nullable: true, description: 'The first 2 kB of the answer' })
  answer!: string | null;
}
