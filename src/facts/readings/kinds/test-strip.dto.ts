import { STRIP_KINDS, type StripKind } from '../../../domain/coolant-condition/test-strip.js';
import { Choice, CivilDate, Text } from '../../../platform/fields/fields.js';

export class TestStripInput {
  @Choice(STRIP_KINDS, {
    description:
      'What it measures: sca (nitrite with molybdate, for conventional coolant), nitrite, organic-acid, ph, freeze-point',
  })
  kind!: StripKind;
  @CivilDate({
    optional: true,
    description: 'Expiry date; later readings are not judged',
  })
  expiresOn?: string | null;
  @Text({ optional: true, max: 120 }) product?: string | null;
}
