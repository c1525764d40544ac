import type { Quantity } from '../../../../domain/quantities/units.js';
import { Choice, Flag, QuantityOf, Text } from '../../../../platform/fields/fields.js';
import { Kind } from '../posted-kind.js';

export class TensionerCheckInput {
  @Kind('tensioner-check') kind!: 'tensioner-check';
  @Text({ optional: true, max: 80, description: 'Its belt by the name on the spec sheet' }) item?:
    string | null;
  @Choice(['in-range', 'out-of-range'], { optional: true, description: 'Where its mark stands' })
  mark?: 'in-range' | 'out-of-range' | null;
  @QuantityOf('size', { optional: true, description: 'Swing of the arm at idle, from end to end' })
  armSwing?: Quantity | null;
  @Flag({ optional: true, description: 'By hand, with the belt off: moves evenly and springs back' })
  armMovesFreely?: boolean | null;
  @Flag({ optional: true, description: 'Spun by hand, with the belt off: quiet, and does not wobble' })
  pulleyRunsTrue?: boolean | null;
}
