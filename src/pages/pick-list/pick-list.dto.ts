import { ApiProperty } from '@nestjs/swagger';
import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../../domain/coolant/coolant.js';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { POURED_KINDS, type PouredKind } from '../../domain/pick-list/coolant-to-pick.js';
import { TOOLS, type ToolName } from '../../domain/pick-list/tools-to-pick.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { CIRCUITS, type CircuitName } from '../../domain/vehicles/circuits.js';
import { Choice, CivilDate, Identifier, QuantityOf } from '../../platform/fields/fields.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { CARD_FORMATS, type CardFormat } from '../job-cards/card/job-card.dto.js';

const text = { type: 'string', nullable: true } as const;

export class PickListQuery {
  @Identifier({ description: 'Where the visits are' }) depotId!: string;
  @CivilDate({ description: 'The day of the visits', example: '2026-04-09' }) on!: string;
  @Choice(CARD_FORMATS, { optional: true, description: 'In place of the Accept header' })
  format?: CardFormat;
}

class PickDepot {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
}

class PickWork {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
}

class PickVehicle {
  @ApiProperty({ format: 'uuid' }) visitId!: string;
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty() unitNumber!: string;
}

class PickVisit extends PickVehicle {
  @ApiProperty({ type: () => [PickWork] }) lines!: PickWork[];
}

const circuit = { type: String, enum: CIRCUITS, nullable: true } as const;

class PartFor extends PickVehicle {
  @ApiProperty({ type: 'integer' }) quantity!: number;
  @ApiProperty({ ...circuit, description: 'Null: in none, or the vehicle has only one' })
  circuit!: CircuitName | null;
}

class CautionedLine {
  @ApiProperty({ type: () => [MessageView], description: 'What belongs to this line' })
  cautions!: MessageView[];
}

class PickPart extends CautionedLine {
  @ApiProperty({ ...text, description: 'Null: the spec sheet does not say, so look it up' })
  partNumber!: string | null;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ type: [String], description: 'As on the spec sheets; several where they differ' })
  descriptions!: string[];
  @ApiProperty({ type: 'integer', description: 'For all vehicles together' }) quantity!: number;
  @ApiProperty({ description: 'For a circuit beside high voltage' }) isElectric!: boolean;
  @ApiProperty({ type: () => [PartFor] }) for!: PartFor[];
}

class CoolantFor extends PickVehicle {
  @ApiProperty({ enum: CIRCUITS }) circuit!: CircuitName;
  @QuantityOf('volume', { optional: true, description: 'Null for topping up: seen at the vehicle' })
  volume!: Quantity | null;
}

class PickCoolant extends CautionedLine {
  @ApiProperty({ enum: POURED_KINDS }) kind!: PouredKind;
  @ApiProperty({ type: String, enum: COOLANT_BASES, nullable: true, description: 'Null for water' })
  base!: CoolantBase | null;
  @ApiProperty({
    type: String,
    enum: COOLANT_TECHNOLOGIES,
    nullable: true,
    description: 'Null for water, and where the spec sheet does not say',
  })
  technology!: CoolantTechnology | null;
  @ApiProperty({ type: Number, nullable: true, description: 'Volume % of concentrate; null for water' })
  strengthPercent!: number | null;
  @ApiProperty({ ...circuit, description: 'What the containers are kept to; null: any that takes it' })
  circuit!: CircuitName | null;
  @ApiProperty({ description: 'For a circuit beside high voltage, in containers of its own' })
  isElectric!: boolean;
  @ApiProperty({ description: 'In place of the concentrate and the water of the same vehicles' })
  insteadOfMixing!: boolean;
  @QuantityOf('volume', { description: 'What the work needs altogether' }) volume!: Quantity;
  @ApiProperty({ type: 'integer', description: 'Whole ones, each of `container`' }) containers!: number;
  @ApiProperty({ type: () => [CoolantFor] }) for!: CoolantFor[];
}

class AdditiveFor extends PickVehicle {
  @ApiProperty({ description: 'The dose to measure out', example: '2 pt' }) inWords!: string;
  @QuantityOf('volume') volume!: Quantity;
}

class PickAdditive extends CautionedLine {
  @ApiProperty({ ...text, description: 'Null: the spec sheet does not name it' }) product!: string | null;
  @QuantityOf('volume') volume!: Quantity;
  @ApiProperty({ type: () => [AdditiveFor] }) for!: AdditiveFor[];
}

class TorqueRange {
  @QuantityOf('torque') least!: Quantity;
  @QuantityOf('torque') most!: Quantity;
}

class PickTool extends CautionedLine {
  @ApiProperty({ enum: TOOLS }) tool!: ToolName;
  @ApiProperty({
    type: () => TorqueRange,
    nullable: true,
    description: 'Of a torque wrench: what it has to cover; null where no torque is known',
  })
  torque!: TorqueRange | null;
  @ApiProperty({ type: () => [PickVehicle] }) for!: PickVehicle[];
}

class PickMissing extends PickVehicle {
  @ApiProperty({ type: () => MessageView }) message!: MessageView;
}

/** What to take from the store for the visits of a day that are still to be done. */
export class PickListView {
  @ApiProperty({ format: 'date' }) on!: string;
  @ApiProperty({ type: () => PickDepot }) depot!: PickDepot;
  @ApiProperty({ type: () => [PickVisit], description: 'By unit number' }) visits!: PickVisit[];
  @ApiProperty({ type: () => [PickPart], description: 'By part number; those without one come last' })
  parts!: PickPart[];
  @QuantityOf('volume', { description: 'What one container of coolant or water holds' })
  container!: Quantity;
  @ApiProperty({ type: () => [PickCoolant] }) coolant!: PickCoolant[];
  @ApiProperty({ type: () => [PickAdditive] }) additives!: PickAdditive[];
  @ApiProperty({ type: () => [PickTool] }) tools!: PickTool[];
  @ApiProperty({
    type: () => [PickMissing],
    description: 'What is not known of a vehicle, and where to find it',
  })
  missing!: PickMissing[];
  @ApiProperty({ type: () => [MessageView] }) cautions!: MessageView[];
  @ApiProperty({ type: () => [MessageView] }) basis!: MessageView[];
}
