import { ApiProperty } from '@nestjs/swagger';
import { DEFECT_SOURCES, DEFECT_STATES, type DefectSource } from '../../domain/defects/defect.js';
import { ACTIONS, type Action, COMPONENTS, type Component } from '../../domain/intervals/types.js';
import type { Quantity } from '../../domain/quantities/units.js';
import {
  Amount,
  Choice,
  CivilDate,
  Flag,
  Identifier,
  Instant,
  QuantityOf,
  Text,
} from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';

export class DefectInput {
  @Identifier({
    optional: true,
    description:
      'Made by the client. The same defect can be sent again at any time: unlike an Idempotency-Key, the id never expires',
  })
  id?: string | null;
  @Identifier({ optional: true, description: 'Or unitNumber' }) vehicleId?: string | null;
  @Text({ optional: true, max: 40 }) unitNumber?: string | null;
  @Instant() reportedAt!: string;
  @Text({ optional: true, max: 120, description: 'Name or badge; the person who is signed in unless given' })
  reportedBy?: string | null;
  @Choice(DEFECT_SOURCES, { description: "Who found it; with a driver's token, only driver" })
  source!: DefectSource;
  @Text({ max: 500, description: 'What is wrong, in plain words' }) what!: string;
  @Choice(COMPONENTS, { optional: true, description: 'What it seems to be about' })
  component?: Component | null;
  @Choice(ACTIONS, { optional: true, description: 'What seems to be needed' }) action?: Action | null;
  @Text({ optional: true, max: 80, description: 'Which one of several' }) item?: string | null;
  @QuantityOf('distance', { optional: true, description: 'As read; it does not count as a usage reading' })
  odometer?: Quantity | null;
  @QuantityOf('engine-hours', {
    optional: true,
    description: 'As read; they do not count as a usage reading',
  })
  engineHours?: Quantity | null;
}

export class DefectBatchInput {
  @ApiProperty({ type: () => [DefectInput], maxItems: 200, minItems: 1 }) defects!: DefectInput[];
}

export class TriageInput {
  @Text({ max: 120, description: 'Name or badge of whoever decides' }) decidedBy!: string;
  @Choice(COMPONENTS) component!: Component;
  @Choice(ACTIONS) action!: Action;
  @Text({ optional: true, max: 80, description: 'Which one of several, by its name on the spec sheet' })
  item?: string | null;
  @CivilDate({ optional: true, description: 'By when it is to be repaired; at once unless given' })
  dueOn?: string | null;
  @Flag({ description: 'Whether the vehicle must not be driven until it is repaired' })
  vehicleStays!: boolean;
  @Text({ optional: true, max: 500 }) note?: string | null;
}

export class AcceptTopUpInput {
  @QuantityOf('volume', { optional: true, description: 'How much it was; as reported unless given' })
  added?: Quantity | null;
  @Flag({ optional: true, description: 'Filled to the mark' }) toMark?: boolean | null;
  @Amount({ optional: true, min: 0, max: 100, description: '0 is plain water; leave it out if not known' })
  strengthPercent?: number | null;
}

export class DismissInput {
  @Text({ max: 120, description: 'Name or badge of whoever certifies that it need not be repaired' })
  decidedBy!: string;
  @Text({ max: 500, min: 3, description: 'Why it need not be repaired' }) reason!: string;
}

/** `open`: nobody has repaired or dismissed it yet. */
export const STATES_ASKED_FOR = ['open', ...DEFECT_STATES] as const;

export class DefectQuery extends PageQueryDto {
  @Identifier({ optional: true }) vehicleId?: string;
  @Text({ optional: true, max: 40 }) unitNumber?: string;
  @Identifier({ optional: true, description: "The vehicle's depot" }) depotId?: string;
  @Choice(STATES_ASKED_FOR, { optional: true, description: 'open: reported or triaged. All unless given' })
  state?: (typeof STATES_ASKED_FOR)[number];
  @Choice(['held'], {
    optional: true,
    description: 'held: coolant was added that nobody has accepted, by reports that are still open',
  })
  topUp?: 'held';
}
