import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../../../../domain/coolant/coolant.js';
import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Choice, Flag, QuantityOf } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';
import { TapWater } from '../tap-water.js';

export class TopUpInput {
  @Kind('top-up') kind!: 'top-up';
  @OfCircuit() circuit?: CircuitName | null;
  @QuantityOf('volume') added!: Quantity;
  @Flag({ optional: true, description: 'Filled to the mark' }) toMark?: boolean | null;
  @Amount({ optional: true, min: 0, max: 100, description: '0 is plain water; leave it out if not known' })
  strengthPercent?: number | null;
  @Choice(COOLANT_BASES, { optional: true }) base?: CoolantBase | null;
  @Choice(COOLANT_TECHNOLOGIES, { optional: true }) technology?: CoolantTechnology | null;
  @TapWater() tapWater?: boolean | null;
  @Flag({ optional: true, description: 'Part of planned work, such as after a warm-up' }) planned?:
    boolean | null;
}
