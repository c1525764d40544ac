/** The coolant circuits that a vehicle can have, in the trade's words. */
export const CIRCUITS = ['engine', 'charge-air', 'power-electronics', 'battery', 'cabin'] as const;
export type CircuitName = (typeof CIRCUITS)[number];

const ELECTRIC: ReadonlySet<CircuitName> = new Set(['power-electronics', 'battery']);

/** Whether a circuit cools parts of the high-voltage system. */
export const isElectric = (circuit: CircuitName): boolean => ELECTRIC.has(circuit);
