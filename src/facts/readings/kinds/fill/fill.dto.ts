import {
  COOLANT_BASES,
  COOLANT_TECHNOLOGIES,
  type CoolantBase,
  type CoolantTechnology,
} from '../../../../domain/coolant/coolant.js';
import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Choice, Flag, QuantityOf, Text } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';
import { TapWater } from '../tap-water.js';

export class FillInput {
  @Kind('fill') kind!: 'fill';
  @OfCircuit() circuit?: CircuitName | null;
  @QuantityOf('volume', { optional: true }) drained?: Quantity | null;
  @Flag({ optional: true, description: 'The vehicle came in with too little coolant' }) cameInLow?:
    boolean | null;
  @QuantityOf('volume', { description: 'All that went in, including the top-up to the mark' })
  added!: Quantity;
  @Flag({
    optional: true,
    description:
      'Topped up to the mark before the engine was started; a later drop is then trapped air. Give it for a vacuum fill too, which also leaves some air',
  })
  toppedUpToMark?: boolean | null;
  @Amount({ optional: true, min: 0, max: 100, description: 'Strength of what was filled in, volume %' })
  strengthPercent?: number | null;
  @Amount({
    optional: true,
    min: 0,
    max: 100,
    description:
      'Strength of what stayed in block and heater, volume %. If left out: 0 if the same job flushes the coolant, otherwise the latest known strength',
  })
  stayedStrengthPercent?: number | null;
  @Choice(COOLANT_BASES, { optional: true }) base?: CoolantBase | null;
  @Choice(COOLANT_TECHNOLOGIES, { optional: true }) technology?: CoolantTechnology | null;
  @Text({ optional: true, max: 120 }) product?: string | null;
  @TapWater() tapWater?: boolean | null;
}
