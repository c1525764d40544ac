/** in_failed_sql_transaction: a statement came after one that had failed. */
const CAME_AFTER = '25P02';

/**
 * Waits for statements of one transaction that were sent one after the other without waiting for the first. Should one fail, those behind
 * it fail for that reason alone; all have ended before this does, so that none is sent after the transaction.
 *
 * @throws what the statement failed with that was the first to
 */
export async function pipelined(statements: readonly Promise<unknown>[]): Promise<void> {
  const failures = (await Promise.allSettled(statements)).flatMap((outcome) =>
    outcome.status === 'rejected' ? [outcome.reason as { code?: string }] : [],
  );
  if (failures.length > 0) throw failures.find(({ code }) => code !== CAME_AFTER) ?? failures[0];
}
