import type { LevelAfterCooling } from '../../../../domain/checks/warm-up-check.js';
import { Choice, Flag } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

const LEVELS_AFTER_COOLING: readonly LevelAfterCooling[] = ['at-mark', 'below-mark', 'above-mark'];

export class WarmUpCheckInput {
  @Kind('warm-up-check') kind!: 'warm-up-check';
  @OfCircuit() circuit?: CircuitName | null;
  @Flag({ optional: true, description: 'null: no heater fitted' }) heatAtVents?: boolean | null;
  @Flag({
    optional: true,
    description:
      'An electric fan came on and went off, or a viscous fan was heard to engage; null: a fan fixed to its pulley',
  })
  fanCycled?: boolean | null;
  @Flag({ optional: true }) thermostatOpened?: boolean | null;
  @Flag({ optional: true }) temperatureSteady?: boolean | null;
  @Flag({ optional: true }) leakSeen?: boolean | null;
  @Choice(LEVELS_AFTER_COOLING, { optional: true }) levelAfterCooling?: LevelAfterCooling | null;
}
