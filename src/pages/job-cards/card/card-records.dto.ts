import { NamedCircuit } from '../../../platform/fields/named-circuit.js';
import { MessageView } from '../../../platform/words/message.dto.js';
import { ApiProperty } from '@nestjs/swagger';
import { DEFECT_SOURCES, type DefectSource, type DefectState } from '../../../domain/defects/defect.js';
import { DRIVING, type Driving } from '../../../domain/defects/driving.js';
import { type Verdict, VERDICTS } from '../../../domain/evaluation/evaluation.js';
import { ACTIONS, COMPONENTS } from '../../../domain/intervals/types.js';
import { LOSS_ALERT_KINDS } from '../../../domain/loss/facts/types.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { CIRCUITS, type CircuitName } from '../../../domain/vehicles/circuits.js';
import { READING_KINDS, type ReadingKind } from '../../../domain/readings/kinds.js';
import { ALERT_STATUSES } from '../../../conclusions/loss-alerts/loss-alert.dto.js';
import type { AlertStatus } from '../../../entities/loss-alert.entity.js';
import { QuantityOf } from '../../../platform/fields/fields.js';

const text = { type: 'string', nullable: true } as const;

class CardVisitLine {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
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
  @NamedCircuit() circuit?: CircuitName;
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
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ ...text, description: 'The method, fastener or belt' }) which!: string | null;
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @ApiProperty({ type: 'string', enum: VERDICTS, nullable: true })
  verdict!: Verdict | null;
  @ApiProperty({ type: () => [MessageView] }) reasons!: MessageView[];
  @ApiProperty({ description: 'An open due line waits until this is settled' }) isOpen!: boolean;
}

export class CardHotDay {
  @ApiProperty({ format: 'date' }) day!: string;
  @QuantityOf('temperature') highest!: Quantity;
  @QuantityOf('temperature') alarm!: Quantity;
  @ApiProperty({ type: Number, nullable: true, description: 'Null: the values lie too far apart to tell' })
  minutesAboveAlarm!: number | null;
}

export class CardTemperatures {
  @ApiProperty({
    type: () => [CardHotDay],
    description: 'The days of the last 30 on which it overheated, latest first',
  })
  hotDays!: CardHotDay[];
  @ApiProperty({
    type: () => MessageView,
    nullable: true,
    description: 'The coolant runs hotter and hotter, and what to look at: evidence, not proof',
  })
  finding!: MessageView | null;
  @QuantityOf('temperature', { optional: true, description: 'The hot end of the last four weeks' })
  hotEnd!: Quantity | null;
  @QuantityOf('temperature', { optional: true, description: 'The same a year before' })
  hotEndYearBefore!: Quantity | null;
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

/** A fault that the vehicle reports, or reported a short while ago. */
export class CardFault {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ example: 'SPN 110 FMI 0' }) code!: string;
  @ApiProperty({
    type: String,
    enum: CIRCUITS,
    nullable: true,
    description: 'The circuit whose coolant it is about; null where it is about none',
  })
  circuit!: CircuitName | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'What is wrong' })
  meaning!: MessageView | null;
  @ApiProperty({ enum: ['active', 'gone'] }) state!: 'active' | 'gone';
  @ApiProperty({ format: 'date-time' }) firstSeenAt!: string;
  @ApiProperty({ format: 'date-time', description: 'When it was last seen active' }) lastSeenAt!: string;
  @ApiProperty({ type: String, format: 'date-time', nullable: true }) goneAt!: string | null;
  @ApiProperty({ type: 'integer', nullable: true, description: 'How often the vehicle counted it' })
  occurrences!: number | null;
}
