import { HOLD_TEST_METHODS, type HoldTestMethod } from '../../../../domain/pressure/hold-test-reading.js';
import type { Quantity } from '../../../../domain/quantities/units.js';
import { Amount, Choice, Flag, QuantityOf } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

export class HoldTestInput {
  @Kind('hold-test') kind!: 'hold-test';
  @OfCircuit() circuit?: CircuitName | null;
  @Choice(HOLD_TEST_METHODS) method!: HoldTestMethod;
  @QuantityOf('vacuum', { description: 'What the gauge showed, as a positive number' }) start!: Quantity;
  @QuantityOf('vacuum') end!: Quantity;
  @Amount({ min: 0.05, max: 1440, description: 'How long it was held' }) minutes!: number;
  @QuantityOf('vacuum', { optional: true, description: 'Smallest step the gauge can be read to' })
  gaugeResolution?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) coolantTemperature?: Quantity | null;
  @Flag({
    optional: true,
    description:
      'The engine stood long enough to be at air temperature. A test without a temperature never passes, unless wet is false',
  })
  engineCold?: boolean | null;
  @Flag({ optional: true, description: 'Coolant was in the system; false: it was drained and dry' }) wet?:
    boolean | null;
  @QuantityOf('temperature', { optional: true }) startTemperature?: Quantity | null;
  @QuantityOf('temperature', { optional: true }) endTemperature?: Quantity | null;
  @QuantityOf('vacuum', {
    optional: true,
    min: 40,
    max: 110,
    description: 'Station pressure, in place of the elevation',
  })
  barometer?: Quantity | null;
}
