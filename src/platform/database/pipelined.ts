import { forEachYielding } from '../concurrency/yielding.js';

/** in_failed_sql_transaction: an earlier statement of the transaction failed. */
const CAME_AFTER = '25P02';

/**
 * Sends the statements of one transaction without waiting for answers in between, then waits for
 * all of them. When one fails, those after it fail as a consequence. All have ended before this
 * returns or throws, so none can run after the transaction.
 *
 * @param senders each sends one statement; others get a turn in between, because sending can take
 *   long
 * @throws the error of the statement that failed first
 */
export async function pipelined(senders: readonly (() => Promise<unknown>)[]): Promise<void> {
  const statements: Promise<unknown>[] = [];
  await forEachYielding(senders, (send) => {
    const statement = send();
    // The statement may fail before anything awaits it.
    statement.catch(() => undefined);
    statements.push(statement);
  });
  const failures = (await Promise.allSettled(statements)).flatMap((outcome) =>
    outcome.status === 'rejected' ? [outcome.reason as { code?: string }] : [],
  );
  if (failures.length > 0) throw failures.find(({ code }) => code !== CAME_AFTER) ?? failures[0];
}
