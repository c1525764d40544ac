import { MessageView } from '../../../platform/words/message.dto.js';
import { ApiProperty } from '@nestjs/swagger';
import { DEFECT_SOURCES, type DefectSource, type DefectState } from '../../../domain/defects/defect.js';
import { DRIVING, type Driving } from '../../../domain/defects/driving.js';
import { type Verdict, VERDICTS } from '../../../domain/evaluation/evaluation.js';
import { ACTIONS, COMPONENTS } from '../../../domain/intervals/types.js';
import { LOSS_ALERT_KINDS } from '../../../domain/loss/facts/types.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { READING_KINDS, type ReadingKind } from '../../../domain/readings/kinds.js';
import { ALERT_STATUSES } from '../../../conclusions/loss-alerts/loss-alert.dto.js';
import type { AlertStatus } from '../../../entities/loss-alert.entity.js';
import { QuantityOf } from '../../../platform/fields/fields.js';

const text = { type: 'string', nullable: true } as const;

class CardVisitLine {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
}

export class CardVisit {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date' }) day!: string;
  @ApiProperty(text) depotName!: string | null;
  @ApiProperty({ type: () => [CardVisitLine] }) lines!: CardVisitLine[];
}

export class CardLossAlert {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: LOSS_ALERT_KINDS }) kind!: string;
  @ApiProperty({ enum: ALERT_STATUSES }) status!: AlertStatus;
  @ApiProperty({ format: 'date-time' }) raisedAt!: string;
  @ApiProperty() returned!: boolean;
  @ApiProperty({ type: () => [MessageView] }) checkNext!: MessageView[];
}

/** A reported defect that is neither repaired nor dismissed. */
export class CardDefect {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ description: 'What is wrong, as it was reported' }) what!: string;
  @ApiProperty({ enum: DEFECT_SOURCES }) source!: DefectSource;
  @ApiProperty({ enum: ['reported', 'triaged'] }) state!: DefectState;
  @ApiProperty({ format: 'date-time' }) reportedAt!: string;
  @ApiProperty({ ...text, format: 'date', description: 'By when it is to be repaired' })
  dueOn!: string | null;
  @ApiProperty({ enum: DRIVING, description: 'Whether the vehicle may be driven with it' })
  driving!: Driving;
}

export class CardReading {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: READING_KINDS }) kind!: ReadingKind;
  @ApiProperty({ ...text, description: 'The method, fastener or belt' }) which!: string | null;
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @ApiProperty({ type: 'string', enum: VERDICTS, nullable: true })
  verdict!: Verdict | null;
  @ApiProperty({ type: () => [MessageView] }) reasons!: MessageView[];
  @ApiProperty({ description: 'An open due line waits until this is settled' }) isOpen!: boolean;
}

/** A usage reading that nobody has accepted yet. No due line counts from it. */
export class CardHeldReading {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date-time' }) readAt!: string;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Why it is held' })
  detail!: MessageView | null;
}
