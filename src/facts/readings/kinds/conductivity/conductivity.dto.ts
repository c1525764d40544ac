import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Flag, QuantityOf } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

export class ConductivityInput {
  @Kind('conductivity') kind!: 'conductivity';
  @OfCircuit() circuit?: CircuitName | null;
  @Amount({ min: 0, max: 100_000, description: 'µS/cm, as the instrument showed it' })
  conductivityUsPerCm!: number;
  @QuantityOf('temperature', {
    optional: true,
    description: 'Temperature of the sample; not needed if the instrument shows the value at 25 °C',
  })
  sampleTemperature?: Quantity | null;
  @Flag({ optional: true, description: 'The instrument compensates to 25 °C' })
  compensatedTo25C?: boolean | null;
}
