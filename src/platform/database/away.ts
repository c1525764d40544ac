/** SQLSTATE classes and Node error codes that mean the database cannot be reached at the moment. */
const AWAY =
  /^(08...|57P0[1235]|53300|ECONNREFUSED|ECONNRESET|ECONNABORTED|EPIPE|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|ENOTFOUND|EAI_AGAIN)$/;

/**
 * Errors of the driver and TypeORM that have no code. The last two come from TypeORM: it takes a
 * broken connection away from the work that was using it.
 */
const AWAY_IN_WORDS =
  /Connection terminated|Connection ended|timeout exceeded when trying to connect|Client has encountered a connection error|Client was closed|Query runner already released|query runner was already released/;

function codeOf(error: unknown): string {
  if (typeof error !== 'object' || error === null) return '';
  const { code, driverError } = error as { code?: unknown; driverError?: { code?: unknown } };
  const known = driverError?.code ?? code;
  return typeof known === 'string' ? known : '';
}

/** Whether an error means that the database is away, rather than that it refused the statement. */
export function isDatabaseAway(error: unknown): boolean {
  return AWAY.test(codeOf(error)) || (error instanceof Error && AWAY_IN_WORDS.test(error.message));
}

const AGAIN_AFTER_MS = 200;

/**
 * Runs work that must survive a restart of the database: repeats it while the database is away. The
 * work may be done twice, because it can succeed and only its answer be lost. It must allow for
 * that.
 *
 * @param withinMs after this long the error is thrown
 */
export async function whateverRestarts<T>(work: () => Promise<T>, withinMs: number): Promise<T> {
  const until = performance.now() + withinMs;
  for (;;) {
    try {
      return await work();
    } catch (error) {
      if (!isDatabaseAway(error) || performance.now() > until) throw error;
      await new Promise((resolve) => setTimeout(resolve, AGAIN_AFTER_MS));
    }
  }
}
