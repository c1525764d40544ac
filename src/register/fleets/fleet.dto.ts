import { ApiProperty } from '@nestjs/swagger';
import { DRIVER_LABELS, type DriverLabels } from '../../domain/defects/label-report.js';
import { COMMON_PRACTICE, type CommonPractice } from '../../domain/evaluation/common-practice.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { type Language, LANGUAGES } from '../../platform/words/languages.js';
import { Amount, Choice, Nested, Text, TimeZone } from '../../platform/fields/fields.js';

/**
 * The trade's usual defaults that have no published source. Each has its unit in its name, and a
 * fleet can set its own value.
 */
export class FleetDefaults {}

for (const [name, value] of Object.entries(COMMON_PRACTICE)) {
  const description = `${value} unless the fleet sets its own (common practice, no source)`;
  Amount({ optional: true, min: value / 20, max: value * 20, description })(FleetDefaults.prototype, name);
}

export class FleetInput {
  @Text({ max: 120 }) name!: string;
  @TimeZone({ description: 'Decides which day it is, and with it what is due' }) timeZone!: string;
  @Choice(['us', 'si'], { description: 'The units of every answer that does not ask for others' })
  units!: UnitSystem;
  @Choice(LANGUAGES, {
    optional: true,
    description:
      'The language of every answer, reminder and card, unless a request (Accept-Language), a token or a reminder target asks for another; en unless given',
  })
  language?: Language | null;
  @Choice(DRIVER_LABELS, {
    optional: true,
    description:
      'What anybody may report by the label on a vehicle, without an account; none unless given. With none, no label works',
  })
  driverLabels?: DriverLabels | null;
  @Nested(() => FleetDefaults, {
    optional: true,
    description: 'Limits for readings where no sheet says otherwise; null restores the default',
  })
  defaults?: Partial<CommonPractice> | null;
}

export class FleetView extends FleetInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() version!: number;
}
