import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Choice, Flag, NestedList, QuantityOf, Text } from '../../../../platform/fields/fields.js';
import { Kind } from '../posted-kind.js';

export class PulleyInput {
  @Text({ max: 80 }) name!: string;
  @Flag() ribsSeated!: boolean;
}

export class BeltCheckInput {
  @Kind('belt-check') kind!: 'belt-check';
  @Text({ optional: true, max: 80, description: 'The belt by its name on the spec sheet' }) item?:
    string | null;
  @Flag({ optional: true }) ribsSeated?: boolean | null;
  @NestedList(() => PulleyInput, { optional: true, max: 20 }) pulleys?: PulleyInput[] | null;
  @QuantityOf('size', { optional: true, description: 'How far a pulley is out of line' })
  offset?: Quantity | null;
  @QuantityOf('size', { optional: true, description: 'Free length of belt the offset was measured over' })
  span?: Quantity | null;
  @QuantityOf('size', { optional: true }) driverDiameter?: Quantity | null;
  @QuantityOf('size', { optional: true }) drivenDiameter?: Quantity | null;
  @Amount({ optional: true, min: 0, max: 100_000 }) driverRpm?: number | null;
  @Amount({ optional: true, min: 0, max: 100_000 }) drivenRpm?: number | null;
  @Choice(['ok', 'worn'], { optional: true }) wearGauge?: 'ok' | 'worn' | null;
  @Flag({ optional: true }) tensionerInRange?: boolean | null;
  @Flag({ optional: true, description: 'Coolant, oil or grease on it' }) contaminated?: boolean | null;
}
