import type { FaultMeaning } from './meanings.js';

/**
 * What a fault leaves to be done, each settled by itself. `inspect-*` are the parts of an
 * inspection after overheating; the others are about one thing each.
 */
export type FaultFinding =
  | 'inspect-head-gasket'
  | 'inspect-level'
  | 'inspect-cap'
  | 'inspect-belt'
  | 'inspect-fan-and-thermostat'
  | 'inspect-strength'
  | `reported-${Exclude<FaultMeaning, 'overheated' | 'transmission-hot'>}`;

/**
 * The inspection after overheating: what overheating damages (head gasket, cap), what is lost by
 * boiling over (coolant, and its strength once water was poured in), and what may have caused it
 * (belt, fan, thermostat). Common practice, no published source.
 */
const AFTER_OVERHEATING: readonly FaultFinding[] = [
  'inspect-head-gasket',
  'inspect-level',
  'inspect-cap',
  'inspect-belt',
  'inspect-fan-and-thermostat',
  'inspect-strength',
];

/**
 * What a fault opens.
 *
 * Pressure above normal is combustion gas in the coolant or a cap that does not open, so both are
 * looked at. A hot transmission opens nothing: it is no fault of the engine's cooling system.
 *
 * @example opensWhat('level-low') // ['reported-level-low']
 */
export function opensWhat(meaning: FaultMeaning): readonly FaultFinding[] {
  switch (meaning) {
    case 'overheated':
      return AFTER_OVERHEATING;
    case 'pressure-high':
      return ['reported-pressure-high', 'inspect-cap'];
    case 'transmission-hot':
      return [];
    default:
      return [`reported-${meaning}`];
  }
}
