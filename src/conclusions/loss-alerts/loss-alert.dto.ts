import { MessageView } from '../../platform/words/message.dto.js';
import { ApiProperty } from '@nestjs/swagger';
import { LOSS_ALERT_KINDS, type LossAlertKind } from '../../domain/loss/facts/types.js';
import { Choice, Identifier, Instant, Text } from '../../platform/fields/fields.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import type { AlertStatus } from '../../entities/loss-alert.entity.js';

export const ALERT_STATUSES: readonly AlertStatus[] = ['raised', 'acknowledged', 'shelved', 'cleared'];

export class LossAlertQuery extends PageQueryDto {
  @Choice(ALERT_STATUSES, { optional: true, description: 'Unless given, all that are not cleared' })
  status?: AlertStatus;
  @Choice(LOSS_ALERT_KINDS, { optional: true }) kind?: LossAlertKind;
  @Identifier({ optional: true }) vehicleId?: string;
  @Identifier({ optional: true, description: 'Alerts about vehicles kept at this depot' })
  depotId?: string;
}

export class AcknowledgeInput {
  @Text({ optional: true, max: 2000 }) note?: string | null;
}

export class ShelveInput {
  @Instant({ description: 'When it raises itself again: later than now, and within 90 days' }) until!: string;
  @Text({ optional: true, max: 2000 }) note?: string | null;
}

export class ClearInput {
  @Text({ max: 2000, description: 'The finding, and what was done about it' }) note!: string;
}

class LossAlertVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) depotId!: string | null;
}

class LossEvidenceView {
  @ApiProperty({ format: 'uuid', description: 'The reading or job report' }) factId!: string;
  @ApiProperty({ description: 'The kind of fact, such as top-up or hold-test' }) kind!: string;
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ type: () => MessageView, description: 'What it shows' }) message!: MessageView;
  @ApiProperty({ type: 'object', additionalProperties: true, description: 'The same in numbers' })
  computed!: Record<string, unknown>;
}

const instant = { type: 'string', format: 'date-time', nullable: true } as const;

export class LossAlertView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: LOSS_ALERT_KINDS }) kind!: string;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ enum: ALERT_STATUSES, description: 'A shelved alert whose time is over counts as raised' })
  status!: AlertStatus;
  @ApiProperty({ type: () => LossAlertVehicle, nullable: true, description: 'Null where it is about parts' })
  vehicle!: LossAlertVehicle | null;
  @ApiProperty({ type: [String], description: 'The vehicles with parts of this batch' })
  members!: string[];
  @ApiProperty({ format: 'date-time' }) raisedAt!: string;
  @ApiProperty(instant) clearedAt!: string | null;
  @ApiProperty({ enum: ['proof', 'manager'], nullable: true, description: 'What cleared it' })
  clearedBy!: string | null;
  @ApiProperty({ ...instant, description: 'While it is shelved' }) shelvedUntil!: string | null;
  @ApiProperty({ description: 'Raised again soon after it was cleared' }) returned!: boolean;
  @ApiProperty({ description: 'False once its facts were voided' }) standing!: boolean;
  @ApiProperty({ type: () => [LossEvidenceView], description: 'The facts that show it, oldest first' })
  evidence!: LossEvidenceView[];
  @ApiProperty({ type: 'object', additionalProperties: true }) computed!: Record<string, unknown>;
  @ApiProperty({ type: () => [MessageView], description: 'What to check, in this order' })
  checkNext!: MessageView[];
  @ApiProperty({ type: () => [MessageView] }) cautions!: MessageView[];
}

class LossAlertActionView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ enum: ['acknowledge', 'shelve', 'clear'] }) action!: string;
  @ApiProperty(instant) until!: string | null;
  @ApiProperty({ type: 'string', nullable: true }) note!: string | null;
}

/** One alert, with what people did about it. */
export class LossAlertDetail extends LossAlertView {
  @ApiProperty({ type: () => [LossAlertActionView], description: 'What people did about it, latest first' })
  actions!: LossAlertActionView[];
}

export const LossAlertPage = pageClass(LossAlertView, 'LossAlertPage');
