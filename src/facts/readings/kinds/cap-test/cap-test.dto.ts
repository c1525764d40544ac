import type { Quantity } from '../../../../domain/quantities/units.js';
import { Flag, QuantityOf } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

export class CapTestInput {
  @Kind('cap-test') kind!: 'cap-test';
  @OfCircuit() circuit?: CircuitName | null;
  @QuantityOf('pressure', { optional: true }) opensAt?: Quantity | null;
  @QuantityOf('pressure', { optional: true }) holdsAt?: Quantity | null;
  @Flag({ optional: true }) vacuumValveOk?: boolean | null;
}
