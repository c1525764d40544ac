import type { FaultCode } from './fault-sighting.js';
import { circuitOf, type FaultMeaning, meaningOf } from './meanings.js';

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
  | `reported-${Exclude<FaultMeaning, 'overheated'>}`;

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
 * looked at. A hot transmission asks for a look at its cooler: on most automatics it lies in the
 * engine's radiator, so low coolant, a blocked radiator or a still fan heats the transmission
 * first. Vehicle makers list these causes for "transmission fluid over temperature" (the name of
 * P0218 in SAE J2012); that it is worth a look here is common practice.
 *
 * @example opensWhat('level-low') // ['reported-level-low']
 */
export function opensWhat(meaning: FaultMeaning): readonly FaultFinding[] {
  switch (meaning) {
    case 'overheated':
      return AFTER_OVERHEATING;
    case 'pressure-high':
      return ['reported-pressure-high', 'inspect-cap'];
    default:
      return [`reported-${meaning}`];
  }
}

/**
 * What a fault code means for the work on the engine's circuit and the belt drive. The lines that
 * are opened are about the engine's circuit, so a code that names another circuit opens none.
 *
 * @example meaningForWork({ system: 'obd', code: 'P0A06' }) // null
 */
export function meaningForWork(code: FaultCode): FaultMeaning | null {
  const circuit = circuitOf(code);
  return circuit === null || circuit === 'engine' ? meaningOf(code) : null;
}
