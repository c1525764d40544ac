import { circuitTerm } from '../../../domain/intervals/terms.js';
import type { CircuitName } from '../../../domain/vehicles/circuits.js';
import { message } from './messages.js';
import type { Wording } from './wording.js';

/** A text with the circuit that it is about. */
export const inCircuitText = (circuit: CircuitName, what: string, say: Wording['say']): string =>
  say(message('card-page-in-circuit', { circuit: circuitTerm(circuit), what }));
