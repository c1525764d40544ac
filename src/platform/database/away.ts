/** SQLSTATE classes and node error codes that say the database cannot be reached at the moment. */
const AWAY =
  /^(08...|57P0[1235]|53300|ECONNREFUSED|ECONNRESET|ECONNABORTED|EPIPE|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|ENOTFOUND|EAI_AGAIN)$/;

/**
 * What the driver says in words alone; TypeORM takes a connection back from the work that it broke
 * under, and refuses the rest of it.
 */
const AWAY_IN_WORDS =
  /Connection terminated|Connection ended|timeout exceeded when trying to connect|Client has encountered a connection error|Client was closed|Query runner already released|query runner was already released/;

function codeOf(error: unknown): string {
  if (typeof error !== 'object' || error === null) return '';
  const { code, driverError } = error as { code?: unknown; driverError?: { code?: unknown } };
  const known = driverError?.code ?? code;
  return typeof known === 'string' ? known : '';
}

/**
 * Whether an error says that the database is away, and not that it refused what was asked of it.
 */
export function isDatabaseAway(error: unknown): boolean {
  return AWAY.test(codeOf(error)) || (error instanceof Error && AWAY_IN_WORDS.test(error.message));
}

const AGAIN_AFTER_MS = 200;

/**
 * Does work whose outcome must not be lost because the database restarts meanwhile: again while it
 * is away. The work may have been done although its answer was lost, so it must bear being done
 * twice.
 *
 * @param withinMs after so long the error is passed on
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
