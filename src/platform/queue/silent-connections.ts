import pg from 'pg';

/** How often to check the connections. */
export const ASK_EVERY_MS = 1_500;
/** A server that has not answered within this time may be unreachable on this connection. */
const ANSWER_WITHIN_MS = 4_000;

/** Watches the connections of a pool until it is stopped. */
export interface ConnectionWatch {
  stop(): void;
  /** Drops the connections that are still checked out, whatever they are doing. */
  giveUp(): void;
}

/** Members of a `pg` client that its types leave out. */
interface Inside {
  /** The server process id of the session. */
  processID: number | null;
  /** The statement that is running. */
  _getActiveQuery(): unknown;
}

const insideOf = (client: pg.PoolClient): Inside => client as unknown as Inside;

/**
 * Drops the connections of a pool that no longer answer.
 *
 * A NAT or a load balancer may drop a connection without telling either end. A listener then hears
 * nothing, and a query waits for ever. TCP keepalive detects that only where no middlebox
 * acknowledges the probes. So an idle listener is sent `select 1`; for a long statement, the server
 * is asked on another connection whether it is still working on it.
 *
 * A connection that gives no answer fails like a broken one: its query is rejected, the pool drops
 * it, and BullMQ listens on a new one.
 */
export function watchConnections(pool: pg.Pool, settings: pg.ClientConfig): ConnectionWatch {
  const handedOut = new Set<pg.PoolClient>();
  const looking = new Set<pg.PoolClient>();
  const underWay = new Map<pg.PoolClient, { statement: unknown; since: number }>();
  // A checked-out, idle connection that breaks emits an error. Without a listener, that error would
  // end the process.
  pool.on('connect', (client) => void client.on('error', () => undefined));
  pool.on('acquire', (client) => handedOut.add(client));
  const forget = (client: pg.PoolClient): void => {
    handedOut.delete(client);
    underWay.delete(client);
  };
  pool.on('release', (_error, client) => forget(client));
  pool.on('remove', forget);

  /** Whether the connection may still deliver something. True when in doubt. */
  async function isAlive(client: pg.PoolClient): Promise<boolean> {
    const statement = insideOf(client)._getActiveQuery();
    if (!statement) return answers(client);
    const now = performance.now();
    const before = underWay.get(client);
    if (before?.statement !== statement) {
      underWay.set(client, { statement, since: now });
      return true;
    }
    return now - before.since < ANSWER_WITHIN_MS || isAtWork(settings, insideOf(client).processID);
  }

  async function look(client: pg.PoolClient): Promise<void> {
    looking.add(client);
    const statement = insideOf(client)._getActiveQuery();
    const isSilent = !(await isAlive(client));
    // Read what has arrived meanwhile first.
    await new Promise((resolve) => setImmediate(resolve));
    looking.delete(client);
    // The statement may have ended meanwhile.
    const isSame = statement === undefined || insideOf(client)._getActiveQuery() === statement;
    if (isSilent && isSame)
      client.emit('error', new Error(`PostgreSQL did not answer within ${ANSWER_WITHIN_MS / 1000} s`));
  }

  const timer = setInterval(() => {
    for (const client of handedOut) if (!looking.has(client)) void look(client);
  }, ASK_EVERY_MS).unref();
  return {
    stop: () => clearInterval(timer),
    giveUp() {
      for (const client of handedOut) {
        client.emit('error', new Error('the queue is being closed'));
        // A caller with a query has released the client on that error; a mere listener may not
        // have.
        if (handedOut.has(client)) client.release(true);
      }
    },
  };
}

/** Whether anything comes back. An error, such as a closed connection, counts as an answer too. */
function answers(client: pg.PoolClient): Promise<boolean> {
  return new Promise((resolve) => {
    // Before it calls the connection silent, read what arrived while the process was busy.
    const late = setTimeout(() => setImmediate(resolve, false), ANSWER_WITHIN_MS);
    const answered = (): void => {
      clearTimeout(late);
      resolve(true);
    };
    client.query('select 1').then(answered, answered);
  });
}

/**
 * Whether the server is still working for a session. Returns true where the server cannot be asked:
 * then no new connection would do better than this one.
 */
async function isAtWork(settings: pg.ClientConfig, processId: number | null): Promise<boolean> {
  const other = new pg.Client({
    ...settings,
    connectionTimeoutMillis: ANSWER_WITHIN_MS,
    query_timeout: ANSWER_WITHIN_MS,
  });
  other.on('error', () => undefined);
  try {
    await other.connect();
    const { rows } = await other.query<{ state: string | null }>(
      'select state from pg_stat_activity where pid = $1',
      [processId],
    );
    return rows[0]?.state === 'active';
  } catch {
    return true;
  } finally {
    void other.end().catch(() => undefined);
  }
}
