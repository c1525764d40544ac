import type { EntityManager } from 'typeorm';

/**
 * How PostgreSQL plans the statements of a transaction. `auto` reckons with the values at hand,
 * which takes half of the time that it spends on a few rows, and goes wrong for a fleet whose rows
 * it has not counted yet. `once` plans a named statement once for all, and reads tables by their
 * indexes: a plan that was made while a table was empty would read the whole of it long after.
 */
export type Planning = 'auto' | 'once';

/**
 * SQL that sets it until the transaction ends, by the parameter of that number and the one after
 * it.
 */
export const setPlanning = (first: number): string =>
  `set_config('plan_cache_mode', $${first}, true), set_config('enable_seqscan', $${first + 1}, true)`;

/** What `setPlanning` sets it to. */
export function planningValues(planning: Planning): [string, string] {
  return planning === 'once' ? ['force_generic_plan', 'off'] : ['auto', 'on'];
}

/** Has the rest of a transaction planned once for all. */
export async function planOnce(tx: EntityManager): Promise<void> {
  await tx.query(`select ${setPlanning(1)}`, planningValues('once'));
}
