import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import type { Component } from '../../domain/intervals/types.js';
import type { Message } from '../../domain/message.js';
import {
  type CircuitName,
  ENGINE_ALONE,
  namedCircuit,
  type VehicleCircuits,
} from '../../domain/vehicles/circuits.js';
import { message } from './messages.js';
import type { Surroundings } from './recording.queries.js';

/** The circuits of a vehicle, and those which only its open due lines are still about. */
export interface KnownCircuits extends VehicleCircuits {
  unlisted: readonly CircuitName[];
}

export function circuitsOf({ first_circuit, other_circuits, open_circuits }: Surroundings): KnownCircuits {
  const listed: VehicleCircuits =
    first_circuit === null
      ? ENGINE_ALONE
      : { first: first_circuit, others: (other_circuits ?? []).map(({ circuit }) => circuit) };
  const isListed = (circuit: CircuitName): boolean =>
    circuit === listed.first || listed.others.includes(circuit);
  return { ...listed, unlisted: (open_circuits ?? []).filter((circuit) => !isListed(circuit)) };
}

/**
 * What is wrong with a posted circuit: the vehicle does not have it. Null where nothing is. A
 * circuit that its sheet no longer lists is taken for as long as a line of it is open, so that the
 * line can be settled.
 */
export function circuitFault(
  circuit: CircuitName | null | undefined,
  { first, others, unlisted }: KnownCircuits,
): Message | null {
  if (circuit == null || circuit === first || others.includes(circuit) || unlisted.includes(circuit))
    return null;
  return message('circuit-not-of-vehicle', { circuit, circuits: [first, ...others] });
}

/** As `circuitFault`, for work: only the coolant and what holds or moves it are in a circuit. */
export function workCircuitFault(
  { component, circuit }: { component: Component; circuit?: CircuitName | null },
  circuits: KnownCircuits,
): Message | null {
  if (circuit != null && !isInCircuit(component)) return message('circuit-of-other-part', { component });
  return circuitFault(circuit, circuits);
}

/** The name of the first circuit, where the vehicle has more than one. */
export function namedFirst(circuits: VehicleCircuits): CircuitName | null {
  return namedCircuit(null, circuits);
}
