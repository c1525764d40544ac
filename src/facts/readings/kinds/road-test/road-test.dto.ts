import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Flag, QuantityOf } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

export class RoadTestInput {
  @Kind('road-test') kind!: 'road-test';
  @OfCircuit() circuit?: CircuitName | null;
  @Amount({
    optional: true,
    min: 0,
    max: 1440,
    description: 'How long it was driven; below 15 it is not judged',
  })
  minutes?: number | null;
  @QuantityOf('distance', { optional: true, max: 5000 }) distance?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) highestCoolantTemperature?: Quantity | null;
  @Flag({ optional: true }) warningLamp?: boolean | null;
  @Flag({ optional: true }) leakSeen?: boolean | null;
}
