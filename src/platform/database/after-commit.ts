import type { EntityManager } from 'typeorm';

const waiting = new WeakMap<EntityManager, (() => void)[]>();

/**
 * Has something done once a transaction that `Transactions` runs has been committed, and not at all
 * where it is not.
 *
 * @param then must neither fail nor take long: whoever wrote waits for it
 */
export function afterCommit(tx: EntityManager, then: () => void): void {
  const some = waiting.get(tx);
  if (some) some.push(then);
  else waiting.set(tx, [then]);
}

/** Does what waits for the commit of the transaction. */
export function committed(tx: EntityManager): void {
  for (const then of waiting.get(tx) ?? []) then();
  waiting.delete(tx);
}
