import { ApiProperty } from '@nestjs/swagger';
import { MessageView } from '../../../platform/words/message.dto.js';
import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../../../domain/coolant/coolant.js';
import { type Verdict, VERDICTS } from '../../../domain/evaluation/evaluation.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import { QuantityOf } from '../../../platform/fields/fields.js';

const text = { type: 'string', nullable: true } as const;

class CardPour {
  @QuantityOf('volume') concentrate!: Quantity;
  @QuantityOf('volume') water!: Quantity;
  @ApiProperty({ type: () => MessageView }) note!: MessageView;
}

class CardPremix {
  @QuantityOf('volume') volume!: Quantity;
  @ApiProperty({ description: 'Volume % of concentrate' }) strengthPercent!: number;
  @ApiProperty({ description: 'Strength of the system once it mixes with what stays in it' })
  endsAtPercent!: number;
}

class CardAdjustment {
  @QuantityOf('volume', { description: 'How much to drain and to pour in' }) drain!: Quantity;
  @ApiProperty({ enum: ['concentrate', 'water'] }) pour!: 'concentrate' | 'water';
  @ApiProperty({ description: 'Volume % as last known' }) fromPercent!: number;
}

export class CardCoolant {
  @ApiProperty({ enum: COOLANT_BASES }) base!: CoolantBase;
  @ApiProperty({ type: 'string', enum: COOLANT_TECHNOLOGIES, nullable: true })
  technology!: CoolantTechnology | null;
  @QuantityOf('volume') capacity!: Quantity;
  @QuantityOf('volume', { optional: true, description: 'What comes out when it is drained' })
  drains!: Quantity | null;
  @QuantityOf('volume', { optional: true, description: 'What stays in block and heater' })
  stays!: Quantity | null;
  @ApiProperty() targetStrengthPercent!: number;
  @QuantityOf('volume', {
    optional: true,
    description: 'About how much comes out for this work; null if nothing does',
  })
  comesOut!: Quantity | null;
  @ApiProperty({ type: () => CardPour, nullable: true, description: 'For the work asked' })
  bring!: CardPour | null;
  @ApiProperty({ type: () => CardPremix, nullable: true, description: 'In place of concentrate and water' })
  premix!: CardPremix | null;
  @ApiProperty({
    type: () => CardPour,
    nullable: true,
    description: 'If it is flushed with water first; water then stays in the system',
  })
  afterWaterFlush!: CardPour | null;
  @ApiProperty({
    type: () => CardAdjustment,
    nullable: true,
    description: 'How to bring the strength to the target without emptying the system',
  })
  adjust!: CardAdjustment | null;
}

export class CardAdditive {
  @ApiProperty(text) product!: string | null;
  @QuantityOf('volume', {
    description: 'In the unit on the bottle',
    example: { value: 1.75, unit: 'pt' },
  })
  dose!: Quantity;
  @QuantityOf('volume') volume!: Quantity;
  @ApiProperty({ description: 'The dose to measure out', example: '2 pt' }) inWords!: string;
  @ApiProperty({ type: () => MessageView, description: 'The dose, and what it is of' }) message!: MessageView;
}

export class CardBoilOver {
  @ApiProperty({ description: 'Volume %' }) strengthPercent!: number;
  @QuantityOf('pressure', { optional: true }) capRating!: Quantity | null;
  @QuantityOf('temperature', { optional: true, description: 'Under the cap, where the work is done' })
  boilsAt!: Quantity | null;
  @QuantityOf('temperature', { description: 'With the cap off or leaking' }) boilsOpenAt!: Quantity;
}

export class CardFreezePoint {
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @QuantityOf('temperature', { optional: true }) freezePoint!: Quantity | null;
  @ApiProperty({ type: 'number', nullable: true }) strengthVolumePercent!: number | null;
  @ApiProperty(text) method!: string | null;
  @ApiProperty({ type: 'string', enum: VERDICTS, nullable: true })
  verdict!: Verdict | null;
}
