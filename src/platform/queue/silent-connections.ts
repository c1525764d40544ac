import pg from 'pg';

/** How often connections are looked at. */
export const ASK_EVERY_MS = 1_500;
/** A server that has not answered by then may be out of reach by this connection. */
const ANSWER_WITHIN_MS = 4_000;

/** What watches the connections of a pool, until it is stopped. */
export interface ConnectionWatch {
  stop(): void;
  /** Gives up the connections that are still handed out, whatever is under way on them. */
  giveUp(): void;
}

/** What `pg` knows of a connection and its types leave out. */
interface Inside {
  /** The session's number on the server. */
  processID: number | null;
  /** The statement that is under way. */
  _getActiveQuery(): unknown;
}

const insideOf = (client: pg.PoolClient): Inside => client as unknown as Inside;

/**
 * Gives up the connections of a pool that no longer answer.
 *
 * A NAT or a load balancer may forget a connection without telling either end. Nothing is heard of
 * it then: who listens stays deaf, and who asks waits for ever. TCP's keepalive shows that only
 * where no middleman acknowledges it, so who only listens is sent `select 1`, and of a
 * statement that takes long the server is asked, on another connection, whether it is still at it.
 * One that gives no answer fails as a broken one does: its query is refused, the pool forgets it,
 * and BullMQ listens on a new one.
 */
export function watchConnections(pool: pg.Pool, settings: pg.ClientConfig): ConnectionWatch {
  const handedOut = new Set<pg.PoolClient>();
  const looking = new Set<pg.PoolClient>();
  const underWay = new Map<pg.PoolClient, { statement: unknown; since: number }>();
  // One that breaks while it is handed out and idle would end the process, if nobody listened.
  pool.on('connect', (client) => void client.on('error', () => undefined));
  pool.on('acquire', (client) => handedOut.add(client));
  const forget = (client: pg.PoolClient): void => {
    handedOut.delete(client);
    underWay.delete(client);
  };
  pool.on('release', (_error, client) => forget(client));
  pool.on('remove', forget);

  /** Whether anything is still to be heard of the connection; in doubt it is. */
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
    // What has arrived meanwhile is read first.
    await new Promise((resolve) => setImmediate(resolve));
    looking.delete(client);
    // It may have come to its end meanwhile.
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
        // Whoever asked for something has handed it back on that; who only listened may not have.
        if (handedOut.has(client)) client.release(true);
      }
    },
  };
}

/** Whether anything comes back; that the connection was closed meanwhile is an answer, too. */
function answers(client: pg.PoolClient): Promise<boolean> {
  return new Promise((resolve) => {
    // What has arrived while the process was busy is read before the silence is believed.
    const late = setTimeout(() => setImmediate(resolve, false), ANSWER_WITHIN_MS);
    const answered = (): void => {
      clearTimeout(late);
      resolve(true);
    };
    client.query('select 1').then(answered, answered);
  });
}

/**
 * Whether the server is still busy for a session; true where it cannot be asked, for then no
 * connection is better than this one.
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
