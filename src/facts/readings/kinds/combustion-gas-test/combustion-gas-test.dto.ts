import { Flag } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

export class CombustionGasTestInput {
  @Kind('combustion-gas-test') kind!: 'combustion-gas-test';
  @OfCircuit() circuit?: CircuitName | null;
  @Flag() positive!: boolean;
  @Flag({ optional: true }) engineHot?: boolean | null;
  @Flag({ optional: true }) underLoad?: boolean | null;
}
