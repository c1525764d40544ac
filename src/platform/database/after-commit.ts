import type { EntityManager } from 'typeorm';

const waiting = new WeakMap<EntityManager, (() => void)[]>();

/**
 * Runs a function after a transaction of `Transactions` has been committed. It does not run when
 * the transaction is rolled back.
 *
 * @param then must be quick and must not throw: the writer waits for it
 */
export function afterCommit(tx: EntityManager, then: () => void): void {
  const some = waiting.get(tx);
  if (some) some.push(then);
  else waiting.set(tx, [then]);
}

/** Runs the functions that wait for this transaction's commit. */
export function committed(tx: EntityManager): void {
  for (const then of waiting.get(tx) ?? []) then();
  waiting.delete(tx);
}
