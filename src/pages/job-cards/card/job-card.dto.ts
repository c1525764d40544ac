import { NamedCircuit } from '../../../platform/fields/named-circuit.js';
import { type CircuitName, CIRCUITS } from '../../../domain/vehicles/circuits.js';
import { ApiProperty } from '@nestjs/swagger';
import { MessageView } from '../../../platform/words/message.dto.js';
import { OPENINGS, type Opening } from '../../../domain/intervals/circuit-opening.js';
import type { DueLineView } from '../../../conclusions/due-list/due-line-view.js';
import { DueLineItem } from '../../../conclusions/due-list/due-list.dto.js';
import { Choice, Identifier, Text } from '../../../platform/fields/fields.js';
import { ReleasedWithFindingsView } from '../../../register/vehicles/vehicle.dto.js';
import { CardAdditive, CardBoilOver, CardCoolant, CardFreezePoint } from './card-coolant.dto.js';
import {
  CardFault,
  CardHeldReading,
  CardLossAlert,
  CardReading,
  CardTemperatures,
  CardVisit,
} from './card-records.dto.js';
import { CardVehicle } from './card-vehicle.dto.js';
import { CardBelt, CardFastener, CardHoldTest, CardLine, CardPart, CardStep } from './card-work.dto.js';

export const CARD_FORMATS = ['json', 'html'] as const;
export type CardFormat = (typeof CARD_FORMATS)[number];

const MAX_LINES_TEXT = 2400;

export class JobCardQuery {
  @Text({
    optional: true,
    max: MAX_LINES_TEXT,
    example: 'water-pump:replace,coolant:replace',
    description:
      'The work: component:action or component:action:item, with @ and the circuit where it is not the first, separated by commas. Unless given, what is due or in its window, and the work of its next visit',
  })
  lines?: string;
  @Identifier({ optional: true, description: "Where the work is done; the vehicle's depot unless given" })
  workedAtDepotId?: string;
  @Choice(CARD_FORMATS, { optional: true, description: 'In place of the Accept header' })
  format?: CardFormat;
}

const text = { type: 'string', nullable: true } as const;

class CardSpecSheet {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
  @ApiProperty({ ...text, description: 'What it says besides of the first circuit' })
  circuitNote!: string | null;
}

/** What the work needs in a further circuit. Its coolant is brought in a container of its own. */
export class CardCircuit {
  @ApiProperty({ enum: CIRCUITS }) circuit!: CircuitName;
  @ApiProperty({ enum: OPENINGS, description: 'How much of its coolant comes out' }) opens!: Opening;
  @ApiProperty({ type: () => CardCoolant, nullable: true }) coolant!: CardCoolant | null;
  @ApiProperty({ type: () => CardAdditive, nullable: true }) additive!: CardAdditive | null;
  @ApiProperty({ type: () => CardHoldTest, nullable: true }) holdTest!: CardHoldTest | null;
  @ApiProperty({ type: () => CardHoldTest, nullable: true }) proofTest!: CardHoldTest | null;
  @ApiProperty({ type: () => CardBoilOver, nullable: true }) boilOver!: CardBoilOver | null;
}

/**
 * What a mechanic takes to the vehicle. `opens`, `coolant`, `additive`, `holdTest`, `proofTest` and
 * `boilOver` are about the first circuit that the work is in; `otherCircuits` has the others.
 */
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
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ enum: OPENINGS, description: 'How much of the coolant comes out for this work' })
  opens!: Opening;
  @ApiProperty({ type: () => [CardStep], description: 'In the order to do them' }) steps!: CardStep[];
  @ApiProperty({ type: () => [CardPart] }) parts!: CardPart[];
  @ApiProperty({
    type: () => [CardFastener],
    description: 'For the parts that are taken apart, and for groups without a component on the spec sheet',
  })
  fasteners!: CardFastener[];
  @ApiProperty({ type: () => CardCoolant, nullable: true }) coolant!: CardCoolant | null;
  @ApiProperty({
    type: () => CardAdditive,
    nullable: true,
    description: 'If the coolant stays in: for what its latest reading lacked',
  })
  additive!: CardAdditive | null;
  @ApiProperty({ type: () => CardHoldTest, nullable: true }) holdTest!: CardHoldTest | null;
  @ApiProperty({
    type: () => CardHoldTest,
    nullable: true,
    description:
      'An extra pressure test where coolant is being lost, because a vacuum pulls a leaking seal shut',
  })
  proofTest!: CardHoldTest | null;
  @ApiProperty({ type: () => CardBoilOver, nullable: true }) boilOver!: CardBoilOver | null;
  @ApiProperty({ type: () => [CardCircuit], description: 'The further circuits that the work is in' })
  otherCircuits!: CardCircuit[];
  @ApiProperty({ type: () => [CardBelt] }) belts!: CardBelt[];
  @ApiProperty({ type: () => MessageView, nullable: true }) beltRouting!: MessageView | null;
  @ApiProperty({
    type: () => [DueLineItem],
    description:
      'What else is late, due or in its window: on this vehicle, its carrier and what is mounted on it',
  })
  dueAnyway!: DueLineView[];
  @ApiProperty({ type: () => [CardVisit], description: 'The confirmed visits of this vehicle, by day' })
  visits!: CardVisit[];
  @ApiProperty({ type: () => [CardLossAlert], description: 'Not cleared' }) lossAlerts!: CardLossAlert[];
  @ApiProperty({ type: () => CardTemperatures }) coolantTemperatures!: CardTemperatures;
  @ApiProperty({
    type: () => [CardReading],
    description:
      'The last of each kind, and those that open due lines wait for; those that did not pass come first',
  })
  lastReadings!: CardReading[];
  @ApiProperty({
    type: () => [CardHeldReading],
    description: 'Usage readings held for review; `estimatedOdometer` uses accepted readings only',
  })
  heldReadings!: CardHeldReading[];
  @ApiProperty({
    type: () => [CardFault],
    description:
      'Faults of the cooling system and the belt drive that the vehicle reports, or that went away in the last 30 days: those that last first',
  })
  faults!: CardFault[];
  @ApiProperty({ type: () => CardFreezePoint, nullable: true }) lastFreezePoint!: CardFreezePoint | null;
  @ApiProperty({ type: () => [MessageView], description: 'What is not known, and where to find it' })
  missing!: MessageView[];
  @ApiProperty({ type: () => [MessageView] }) cautions!: MessageView[];
  @ApiProperty({ type: () => [MessageView], description: 'Tables, formulas, limits and defaults used' })
  basis!: MessageView[];
}
