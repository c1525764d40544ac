import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Flag, QuantityOf, Text } from '../../../../platform/fields/fields.js';
import { Kind } from '../posted-kind.js';

export class BeltTensionInput {
  @Kind('belt-tension') kind!: 'belt-tension';
  @Text({ optional: true, max: 80, description: 'The belt by its name on the spec sheet' }) item?:
    string | null;
  @Flag({ optional: true, description: 'Just fitted; not run in yet' }) newBelt?: boolean | null;
  @Amount({ optional: true, min: 1, max: 1000, description: 'Hz, of the plucked span' })
  frequencyHz?: number | null;
  @QuantityOf('size', { optional: true, min: 0.1, description: 'At the middle of the span' })
  deflection?: Quantity | null;
  @QuantityOf('force', {
    optional: true,
    min: 0.1,
    description: 'Force with which the deflection was measured',
  })
  force?: Quantity | null;
  @QuantityOf('size', { optional: true, min: 1, description: 'Free length of belt that was measured' })
  span?: Quantity | null;
}
