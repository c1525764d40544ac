import { CivilDate, Identifier, Identifiers } from '../../platform/fields/fields.js';
import { MAX_BATCH } from '../../platform/http/batch.js';

export class BookInput {
  @Identifiers({ min: 1, maxItems: MAX_BATCH, description: 'The due lines' }) ids!: string[];
  @CivilDate({ description: 'A day on which the depot works; today or later, within 12 months' })
  day!: string;
  @Identifier({
    optional: true,
    description: 'Books only lines of vehicles kept at this depot; each vehicle at its own unless given',
  })
  depotId?: string | null;
}
