import { forEachYielding } from '../concurrency/yielding.js';

/** in_failed_sql_transaction: a statement came after one that had failed. */
const CAME_AFTER = '25P02';

/**
 * Sends statements of one transaction one after the other without waiting for the first, and waits
 * for all. Should one fail, those behind it fail for that reason alone; all have ended before this
 * does, so that none is sent after the transaction.
 *
 * @param senders each sends one; others get a turn in between, where what is sent is large
 * @throws what the statement failed with that was the first to
 */
export async function pipelined(senders: readonly (() => Promise<unknown>)[]): Promise<void> {
  const statements: Promise<unknown>[] = [];
  await forEachYielding(senders, (send) => {
    const statement = send();
    // It may fail before it is waited for.
    statement.catch(() => undefined);
    statements.push(statement);
  });
  const failures = (await Promise.allSettled(statements)).flatMap((outcome) =>
    outcome.status === 'rejected' ? [outcome.reason as { code?: string }] : [],
  );
  if (failures.length > 0) throw failures.find(({ code }) => code !== CAME_AFTER) ?? failures[0];
}
