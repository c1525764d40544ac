import type pg from 'pg';

/** How often each connection is asked for an answer. */
export const ASK_EVERY_MS = 3_000;
/** A server that has not answered by then is taken to be out of reach by this connection. */
const ANSWER_WITHIN_MS = 5_000;

/** What watches the connections of a pool, until it is stopped. */
export interface ConnectionWatch {
  stop(): void;
  /** Gives up the connections that are still handed out, whatever is under way on them. */
  giveUp(): void;
}

/**
 * Gives up the connections of a pool that no longer answer.
 *
 * A NAT or a load balancer may forget a connection without telling either end. Nothing is heard of
 * it then: who listens stays deaf, and who asks waits for ever. TCP's keepalive shows that only
 * where no middleman acknowledges it, so each connection is asked a trifle, used or not.
 * One that gives no answer fails as a broken one does: its query is refused, the pool forgets it,
 * and BullMQ listens on a new one.
 */
export function watchConnections(pool: pg.Pool): ConnectionWatch {
  const open = new Set<pg.PoolClient>();
  const handedOut = new Set<pg.PoolClient>();
  const asked = new Set<pg.PoolClient>();
  pool.on('connect', (client) => {
    open.add(client);
    // One that breaks while it is handed out and idle would end the process, if nobody listened.
    client.on('error', () => undefined);
  });
  pool.on('acquire', (client) => handedOut.add(client));
  pool.on('release', (_error, client) => handedOut.delete(client));
  pool.on('remove', (client) => {
    open.delete(client);
    handedOut.delete(client);
  });

  async function ask(client: pg.PoolClient): Promise<void> {
    asked.add(client);
    if (!(await answers(client))) {
      open.delete(client);
      client.emit('error', new Error(`PostgreSQL did not answer within ${ANSWER_WITHIN_MS / 1000} s`));
    }
    asked.delete(client);
  }

  const timer = setInterval(() => {
    for (const client of open) if (!asked.has(client)) void ask(client);
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
