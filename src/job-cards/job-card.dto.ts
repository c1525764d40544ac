import { ApiProperty } from '@nestjs/swagger';
import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../domain/coolant/coolant.js';
import type { Verdict } from '../domain/evaluation.js';
import { ACTIONS, COMPONENTS, type DueState } from '../domain/intervals/types.js';
import { OPENINGS, type Opening } from '../domain/circuit-opening.js';
import { STEPS, type StepName } from '../domain/job-card/steps.js';
import { LOSS_ALERT_KINDS } from '../domain/loss/types.js';
import type { Quantity } from '../domain/quantities/units.js';
import type { DueLineView } from '../due-list/due-line-view.js';
import { DUE_STATES, DueLineItem } from '../due-list/due-list.dto.js';
import { ALERT_STATUSES } from '../loss-alerts/loss-alert.dto.js';
import { Choice, Identifier, QuantityOf, Text } from '../platform/http/fields.js';
import { HOLD_TEST_METHODS, type HoldTestMethod } from '../spec-sheets/spec-sheet.dto.js';
import { READING_KINDS, type ReadingKind } from '../domain/readings/kinds.js';
import { DUTIES, ReleasedWithFindingsView, STATUSES } from '../vehicles/vehicle.dto.js';

export const CARD_FORMATS = ['json', 'html'] as const;
export type CardFormat = (typeof CARD_FORMATS)[number];

const MAX_LINES_TEXT = 2400;

export class JobCardQuery {
  @Text({
    optional: true,
    max: MAX_LINES_TEXT,
    example: 'water-pump:replace,coolant:replace',
    description:
      'What is to be done: component:action, or component:action:item, with commas between them; what is due or in its window, and what its next visit is for, unless given',
  })
  lines?: string;
  @Identifier({ optional: true, description: "Where the work is done; the vehicle's depot unless given" })
  workedAtDepotId?: string;
  @Choice(CARD_FORMATS, { optional: true, description: 'In place of the Accept header' })
  format?: CardFormat;
}

const text = { type: 'string', nullable: true } as const;

class CardUnit {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
}

class CardDepot {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
  @QuantityOf('elevation', { optional: true }) elevation!: Quantity | null;
}

export class CardVehicle {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty(text) make!: string | null;
  @ApiProperty(text) model!: string | null;
  @ApiProperty({ type: 'integer', nullable: true }) modelYear!: number | null;
  @ApiProperty(text) vin!: string | null;
  @ApiProperty(text) serialNumber!: string | null;
  @ApiProperty({ enum: DUTIES }) duty!: string;
  @ApiProperty({ enum: STATUSES }) status!: string;
  @ApiProperty({ type: () => CardUnit, nullable: true, description: 'The carrier of an auxiliary engine' })
  mountedOn!: CardUnit | null;
  @ApiProperty({ type: () => [CardUnit], description: 'The units mounted on it' }) carries!: CardUnit[];
  @ApiProperty({ type: () => CardDepot, nullable: true, description: 'Where the work is done' })
  depot!: CardDepot | null;
  @QuantityOf('distance', { optional: true, description: 'By the daily rate, else as last read' })
  estimatedOdometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) estimatedEngineHours!: Quantity | null;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) lastReadAt!: string | null;
  @ApiProperty({ description: 'The last reading is more than 60 days old, or there is none' })
  stale!: boolean;
}

class CardSpecSheet {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
  @ApiProperty(text) circuit!: string | null;
}

class SettledDueLine {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: DUE_STATES }) state!: DueState;
  @ApiProperty({ type: 'string', format: 'date', nullable: true }) dueOn!: string | null;
}

export class CardLine {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @ApiProperty({ type: () => [SettledDueLine], description: 'The standing due lines that this work resets' })
  settles!: SettledDueLine[];
}

class CardStep {
  @ApiProperty({ enum: STEPS }) step!: StepName;
  @ApiProperty() text!: string;
}

class CardPart {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty() description!: string;
  @ApiProperty({ type: 'integer' }) quantity!: number;
  @ApiProperty(text) partNumber!: string | null;
}

class CardFastener {
  @ApiProperty() name!: string;
  @ApiProperty({ type: 'integer' }) count!: number;
  @ApiProperty({
    type: 'string',
    enum: COMPONENTS,
    nullable: true,
    description:
      'What it holds; null where the spec sheet does not say, so that it may not belong to this work',
  })
  component!: string | null;
  @QuantityOf('torque', { optional: true, description: 'Null where the sheet has least and most alone' })
  torque!: Quantity | null;
  @QuantityOf('torque') min!: Quantity;
  @QuantityOf('torque') max!: Quantity;
  @ApiProperty({ type: 'number', nullable: true, description: 'Null where the sheet has least and most' })
  tolerancePercent!: number | null;
  @ApiProperty({ ...text, description: 'Further turning after the torque, in words' }) angle!: string | null;
}

class CardPour {
  @QuantityOf('volume') concentrate!: Quantity;
  @QuantityOf('volume') water!: Quantity;
  @ApiProperty() note!: string;
}

class CardPremix {
  @QuantityOf('volume') volume!: Quantity;
  @ApiProperty({ description: 'Volume % of concentrate' }) strengthPercent!: number;
  @ApiProperty({ description: 'What the system comes to with what stays in it' }) endsAtPercent!: number;
}

class CardAdjustment {
  @QuantityOf('volume', { description: 'To drain, and to pour in as much' }) drain!: Quantity;
  @ApiProperty({ enum: ['concentrate', 'water'] }) pour!: 'concentrate' | 'water';
  @ApiProperty({ description: 'Volume % as last known' }) fromPercent!: number;
}

class CardCoolant {
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
    description: 'About how much comes out for the work asked; null where nothing does',
  })
  comesOut!: Quantity | null;
  @ApiProperty({ type: () => CardPour, nullable: true, description: 'For the work asked' })
  bring!: CardPour | null;
  @ApiProperty({ type: () => CardPremix, nullable: true, description: 'In place of concentrate and water' })
  premix!: CardPremix | null;
  @ApiProperty({
    type: () => CardPour,
    nullable: true,
    description: 'Where it is flushed with water first: what stays is water then',
  })
  afterWaterFlush!: CardPour | null;
  @ApiProperty({
    type: () => CardAdjustment,
    nullable: true,
    description: 'For bringing the strength to the target without emptying the system',
  })
  adjust!: CardAdjustment | null;
}

class CardAdditive {
  @ApiProperty(text) product!: string | null;
  @QuantityOf('volume', {
    description: 'In the unit on the bottle',
    example: { value: 1.75, unit: 'pt' },
  })
  dose!: Quantity;
  @QuantityOf('volume') volume!: Quantity;
  @ApiProperty({ description: 'The dose as it is measured out', example: '2 pt of additive' }) text!: string;
}

class CardHoldTest {
  @ApiProperty({ enum: HOLD_TEST_METHODS }) method!: HoldTestMethod;
  @QuantityOf('pressure', { optional: true, description: 'At the place of work' }) target!: Quantity | null;
  @QuantityOf('vacuum', { optional: true, description: 'Of a vacuum, as the sheet has it' })
  targetAtSeaLevel!: Quantity | null;
  @QuantityOf('vacuum', { optional: true, description: 'The deepest that the air there can give' })
  greatestVacuum!: Quantity | null;
  @QuantityOf('pressure', { optional: true, description: 'What the system may be tested at' })
  greatestPressure!: Quantity | null;
  @ApiProperty() minutes!: number;
  @QuantityOf('pressure', { description: 'In these minutes' }) allowedLoss!: Quantity;
}

class CardBoilOver {
  @ApiProperty({ description: 'Volume %' }) strengthPercent!: number;
  @QuantityOf('pressure', { optional: true }) capRating!: Quantity | null;
  @QuantityOf('temperature', { optional: true, description: 'Under the cap, at the place of work' })
  boilsAt!: Quantity | null;
  @QuantityOf('temperature', { description: 'With the cap off or leaking' }) boilsOpenAt!: Quantity;
}

class CardBelt {
  @ApiProperty() name!: string;
  @ApiProperty(text) designation!: string | null;
  @ApiProperty({ type: 'integer', nullable: true }) ribs!: number | null;
  @QuantityOf('size', { optional: true }) effectiveLength!: Quantity | null;
  @QuantityOf('size', { optional: true }) width!: Quantity | null;
}

class CardVisitLine {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
}

class CardVisit {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date' }) day!: string;
  @ApiProperty(text) depotName!: string | null;
  @ApiProperty({ type: () => [CardVisitLine] }) lines!: CardVisitLine[];
}

class CardLossAlert {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: LOSS_ALERT_KINDS }) kind!: string;
  @ApiProperty({ enum: ALERT_STATUSES }) status!: string;
  @ApiProperty({ format: 'date-time' }) raisedAt!: string;
  @ApiProperty() returned!: boolean;
  @ApiProperty({ type: [String] }) checkNext!: string[];
}

export class CardFreezePoint {
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @QuantityOf('temperature', { optional: true }) freezePoint!: Quantity | null;
  @ApiProperty({ type: 'number', nullable: true }) strengthVolumePercent!: number | null;
  @ApiProperty(text) method!: string | null;
  @ApiProperty({ type: 'string', enum: ['pass', 'fail', 'inconclusive'], nullable: true })
  verdict!: Verdict | null;
}

export class CardReading {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: READING_KINDS }) kind!: ReadingKind;
  @ApiProperty({ ...text, description: 'The method, fastener or belt' }) which!: string | null;
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @ApiProperty({ type: 'string', enum: ['pass', 'fail', 'inconclusive'], nullable: true })
  verdict!: Verdict | null;
  @ApiProperty({ type: [String] }) reasons!: string[];
  @ApiProperty({ description: 'An open due line waits for it to be settled' }) isOpen!: boolean;
}

/** A usage reading that nobody has accepted yet: nothing counts from it. */
export class CardHeldReading {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date-time' }) readAt!: string;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ ...text, description: 'Why it is held' }) detail!: string | null;
}

/** What a mechanic takes along. */
export class JobCardView {
  @ApiProperty({
    type: () => ReleasedWithFindingsView,
    nullable: true,
    description: 'The vehicle was released for service with failed safety readings that are not settled yet',
  })
  releasedWithFindings!: ReleasedWithFindingsView | null;
  @ApiProperty({ format: 'date', description: "Today in the fleet's zone" }) asOf!: string;
  @ApiProperty({ type: () => CardVehicle }) vehicle!: CardVehicle;
  @ApiProperty({ type: () => CardSpecSheet, nullable: true }) specSheet!: CardSpecSheet | null;
  @ApiProperty({ type: () => [CardLine] }) lines!: CardLine[];
  @ApiProperty({ enum: OPENINGS, description: 'How much of the coolant comes out for this work' })
  opens!: Opening;
  @ApiProperty({ type: () => [CardStep], description: 'In the order to do them' }) steps!: CardStep[];
  @ApiProperty({ type: () => [CardPart] }) parts!: CardPart[];
  @ApiProperty({
    type: () => [CardFastener],
    description: 'Of the parts that are taken apart, and those of which the spec sheet names no component',
  })
  fasteners!: CardFastener[];
  @ApiProperty({ type: () => CardCoolant, nullable: true }) coolant!: CardCoolant | null;
  @ApiProperty({
    type: () => CardAdditive,
    nullable: true,
    description: 'For what the latest reading of the coolant lacked, where it stays in',
  })
  additive!: CardAdditive | null;
  @ApiProperty({ type: () => CardHoldTest, nullable: true }) holdTest!: CardHoldTest | null;
  @ApiProperty({
    type: () => CardHoldTest,
    nullable: true,
    description: 'A pressure test besides, where coolant is being lost: a vacuum pulls a leaking seal shut',
  })
  proofTest!: CardHoldTest | null;
  @ApiProperty({ type: () => CardBoilOver, nullable: true }) boilOver!: CardBoilOver | null;
  @ApiProperty({ type: () => [CardBelt] }) belts!: CardBelt[];
  @ApiProperty(text) beltRouting!: string | null;
  @ApiProperty({
    type: () => [DueLineItem],
    description: 'Late, due or in its window besides: of this vehicle, its carrier and what is mounted on it',
  })
  dueAnyway!: DueLineView[];
  @ApiProperty({ type: () => [CardVisit], description: 'The confirmed visits of this vehicle, by day' })
  visits!: CardVisit[];
  @ApiProperty({ type: () => [CardLossAlert], description: 'Not cleared' }) lossAlerts!: CardLossAlert[];
  @ApiProperty({
    type: () => [CardReading],
    description: 'The last of each kind, and those that open due lines wait for; what did not pass first',
  })
  lastReadings!: CardReading[];
  @ApiProperty({
    type: () => [CardHeldReading],
    description: 'Usage readings held for review: `estimatedOdometer` goes by the believed ones alone',
  })
  heldReadings!: CardHeldReading[];
  @ApiProperty({ type: () => CardFreezePoint, nullable: true }) lastFreezePoint!: CardFreezePoint | null;
  @ApiProperty({ type: [String], description: 'What is not known, and where it is to be had' })
  missing!: string[];
  @ApiProperty({ type: [String] }) cautions!: string[];
  @ApiProperty({ type: [String], description: 'Tables, formulas, limits and defaults used' })
  basis!: string[];
}
