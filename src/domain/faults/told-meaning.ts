import type { Message } from '../message.js';
import type { FaultCode } from './fault-sighting.js';
import { circuitOf, meaningOf } from './meanings.js';
import { message } from './messages.js';

/**
 * What a fault code means, for a mechanic: what is wrong, and in which circuit where that is not
 * the engine's.
 *
 * @returns null for a code that means nothing here
 * @example toldMeaning({ system: 'j1939', spn: 110, fmi: 0 }) // { code: 'fault-overheated', values: {} }
 */
export function toldMeaning(code: FaultCode): Message | null {
  const meaning = meaningOf(code);
  if (meaning === null) return null;
  const what = message(`fault-${meaning}`);
  const circuit = circuitOf(code);
  if (circuit === null || circuit === 'engine') return what;
  return message('fault-of-circuit', { circuit: message(`fault-circuit-${circuit}`), what });
}
