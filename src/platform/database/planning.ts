import type { EntityManager } from 'typeorm';

/**
 * How PostgreSQL plans the statements of a transaction.
 *
 * `auto` plans for the actual values. On a few rows, planning takes half of the time, and it goes
 * wrong for a fleet whose rows have no statistics yet. `once` plans a named statement once and
 * makes it use indexes: a plan that was made while a table was empty would otherwise scan the whole
 * table long after.
 */
export type Planning = 'auto' | 'once';

/**
 * SQL that sets the planning until the transaction ends. Takes two parameters: the one with this
 * number and the next.
 */
export const setPlanning = (first: number): string =>
  `set_config('plan_cache_mode', $${first}, true), set_config('enable_seqscan', $${first + 1}, true)`;

/** The values for the parameters of `setPlanning`. */
export function planningValues(planning: Planning): [string, string] {
  return planning === 'once' ? ['force_generic_plan', 'off'] : ['auto', 'on'];
}

/** Plans the remaining named statements of a transaction only once. */
export async function planOnce(tx: EntityManager): Promise<void> {
  await tx.query(`select ${setPlanning(1)}`, planningValues('once'));
}
