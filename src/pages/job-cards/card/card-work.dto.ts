import type { CircuitName } from '../../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../../platform/fields/named-circuit.js';
import { ApiProperty } from '@nestjs/swagger';
import { MessageView } from '../../../platform/words/message.dto.js';
import { ACTIONS, COMPONENTS, type DueState } from '../../../domain/intervals/types.js';
import { STEPS, type StepName } from '../../../domain/job-card/steps/steps.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { DUE_STATES } from '../../../conclusions/due-list/due-states.js';
import { QuantityOf } from '../../../platform/fields/fields.js';
import { HOLD_TEST_METHODS, type HoldTestMethod } from '../../../register/spec-sheets/spec-sheet.dto.js';

const text = { type: 'string', nullable: true } as const;

class SettledDueLine {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: DUE_STATES }) state!: DueState;
  @ApiProperty({ type: 'string', format: 'date', nullable: true }) dueOn!: string | null;
  @ApiProperty({
    type: () => [MessageView],
    description: 'Why a follow-up is open: what is wrong, and what is left to do; none for an interval',
  })
  causes!: MessageView[];
  @ApiProperty({ type: () => [MessageView], description: 'Says so if its interval is ready-made' })
  basis!: MessageView[];
}

export class CardLine {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ type: () => [SettledDueLine], description: 'The open due lines that this work resets' })
  settles!: SettledDueLine[];
}

export class CardStep {
  @ApiProperty({ enum: STEPS }) step!: StepName;
  @ApiProperty({ type: () => MessageView, description: 'What to do' }) message!: MessageView;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({
    type: () => MessageView,
    required: false,
    description: 'To be read with this step: work beside high voltage',
  })
  caution?: MessageView;
}

export class CardPart {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty() description!: string;
  @ApiProperty({ type: 'integer' }) quantity!: number;
  @ApiProperty(text) partNumber!: string | null;
  @NamedCircuit() circuit?: CircuitName;
}

export class CardFastener {
  @ApiProperty() name!: string;
  @ApiProperty({ type: 'integer' }) count!: number;
  @ApiProperty({
    type: 'string',
    enum: COMPONENTS,
    nullable: true,
    description: 'What it holds; null if the spec sheet does not say, so it may not belong to this work',
  })
  component!: string | null;
  @QuantityOf('torque', { optional: true, description: 'Null if the sheet only has least and most' })
  torque!: Quantity | null;
  @QuantityOf('torque') min!: Quantity;
  @QuantityOf('torque') max!: Quantity;
  @ApiProperty({ type: 'number', nullable: true, description: 'Null where the sheet has least and most' })
  tolerancePercent!: number | null;
  @ApiProperty({ ...text, description: 'Further turning after the torque, in words' }) angle!: string | null;
}

export class CardHoldTest {
  @ApiProperty({ enum: HOLD_TEST_METHODS }) method!: HoldTestMethod;
  @QuantityOf('pressure', { optional: true, description: 'At the place of work' }) target!: Quantity | null;
  @QuantityOf('vacuum', { optional: true, description: 'Of a vacuum: as on the sheet' })
  targetAtSeaLevel!: Quantity | null;
  @QuantityOf('vacuum', { optional: true, description: 'The deepest vacuum possible at that elevation' })
  greatestVacuum!: Quantity | null;
  @QuantityOf('pressure', { optional: true, description: 'What the system may be tested at' })
  greatestPressure!: Quantity | null;
  @ApiProperty() minutes!: number;
  @QuantityOf('pressure', { description: 'In these minutes' }) allowedLoss!: Quantity;
}

export class CardTension {
  @ApiProperty({ description: 'The limits for a belt that has not run in' }) newBelt!: boolean;
  @ApiProperty({ type: 'number', nullable: true }) frequencyMinHz!: number | null;
  @ApiProperty({ type: 'number', nullable: true }) frequencyMaxHz!: number | null;
  @QuantityOf('size', { optional: true }) deflectionMin!: Quantity | null;
  @QuantityOf('size', { optional: true }) deflectionMax!: Quantity | null;
  @QuantityOf('force', { optional: true }) deflectionForce!: Quantity | null;
}

export class CardBelt {
  @ApiProperty() name!: string;
  @ApiProperty(text) designation!: string | null;
  @ApiProperty({ type: 'integer', nullable: true }) ribs!: number | null;
  @QuantityOf('size', { optional: true }) effectiveLength!: Quantity | null;
  @QuantityOf('size', { optional: true }) width!: Quantity | null;
  @ApiProperty({ type: () => CardTension, nullable: true }) tension!: CardTension | null;
}
