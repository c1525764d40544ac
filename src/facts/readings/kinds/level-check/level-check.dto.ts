import { LEVEL_WORDS, type LevelWord } from '../../../../domain/checks/level-marks.js';
import type { Quantity } from '../../../../domain/quantities/units.js';
import { Choice, Flag, QuantityOf } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';

export class LevelCheckInput {
  @Kind('level-check') kind!: 'level-check';
  @OfCircuit() circuit?: CircuitName | null;
  @Choice(LEVEL_WORDS, {
    optional: true,
    description: 'The level at the marks of the reservoir, cold or hot; give this or belowMark',
  })
  level?: LevelWord | null;
  @QuantityOf('volume', {
    optional: true,
    min: -50,
    description: 'How far the level is below the mark (MAX, if there are two); negative above it',
  })
  belowMark?: Quantity | null;
  @Flag({ optional: true }) engineCold?: boolean | null;
}
