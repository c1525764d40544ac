/** The coolant circuits that a vehicle can have, in the trade's words. */
export const CIRCUITS = ['engine', 'charge-air', 'power-electronics', 'battery', 'cabin'] as const;
export type CircuitName = (typeof CIRCUITS)[number];

const ELECTRIC: ReadonlySet<CircuitName> = new Set(['power-electronics', 'battery']);

/** Whether a circuit cools parts of the high-voltage system. */
export const isElectric = (circuit: CircuitName): boolean => ELECTRIC.has(circuit);

/** The circuits of a vehicle, as its spec sheet lists them. */
export interface VehicleCircuits {
  first: CircuitName;
  others: readonly CircuitName[];
}

/** What a vehicle has whose spec sheet is not known, or names no circuit. */
export const ENGINE_ALONE: VehicleCircuits = { first: 'engine', others: [] };

/**
 * The circuit that a fact or a line is about; null or missing: the vehicle's first, whatever its
 * name.
 */
export interface InCircuit {
  circuit?: CircuitName | null;
}

/** Whether two are about the same circuit of a vehicle. */
export function isSameCircuit(left: InCircuit, right: InCircuit): boolean {
  return (left.circuit ?? null) === (right.circuit ?? null);
}

/**
 * A circuit as it is recorded: null for the vehicle's first.
 *
 * @example recordedCircuit('engine', { first: 'engine', others: ['battery'] }) // null
 */
export function recordedCircuit(
  circuit: CircuitName | null | undefined,
  { first }: VehicleCircuits,
): CircuitName | null {
  return circuit == null || circuit === first ? null : circuit;
}

/**
 * A circuit as it is told: named where the vehicle has more than one, or where the record is about
 * one that its spec sheet no longer lists.
 *
 * @param recorded null: the first
 * @example namedCircuit(null, { first: 'engine', others: ['battery'] }) // 'engine'
 * @example namedCircuit(null, ENGINE_ALONE) // null
 */
export function namedCircuit(
  recorded: CircuitName | null | undefined,
  { first, others }: VehicleCircuits,
): CircuitName | null {
  return recorded ?? (others.length > 0 ? first : null);
}

/**
 * The circuit that the fault codes of an engine are about: the engine's, where the vehicle has one,
 * else the first.
 *
 * @returns as it is recorded
 */
export function circuitOfFaults({ others }: VehicleCircuits): CircuitName | null {
  return others.includes('engine') ? 'engine' : null;
}
