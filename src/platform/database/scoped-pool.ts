import pg from 'pg';
import { currentReach, type Reach } from '../scope/fleet-scope.js';
import type { Statement } from './statement.js';

/**
 * The only gate between the service and its tables. TypeORM takes every connection from this pool.
 * Before the pool hands one out, it tells the connection which fleet the work is for, and row-level
 * security does the rest. Work outside a fleet sees no rows.
 */
type ConnectCallback = (
  error: Error | undefined,
  client?: pg.PoolClient,
  release?: (error?: Error | boolean) => void,
) => void;

/**
 * Keeps dates as text, because a JavaScript Date would put them in the server's time zone, and
 * counts as numbers.
 */
const PARSERS = new Map<number, (text: string) => unknown>([
  [pg.types.builtins.DATE, (text) => text],
  [pg.types.builtins.INT8, Number],
]);
const types = {
  getTypeParser(oid: number, format?: 'text' | 'binary') {
    const parser = format === 'binary' ? undefined : PARSERS.get(oid);
    return parser ?? pg.types.getTypeParser(oid, format);
  },
};

const setFleet = { name: 'set_fleet', text: "select set_config('app.fleet_id', $1, false)" };
// A separate role, so that plans for a whole fleet do not include the depot conditions.
const setReach = {
  name: 'set_reach',
  text: "select set_config('app.fleet_id', $1, false), set_config('app.depot_ids', $2, false), set_config('role', $3, false)",
};

/** Called with a statement, its values, and the name it is prepared under. */
type StatementListener = (text: string, values: readonly unknown[], name?: string) => void;

/** Lets tests count statements. Statements that switch the scope are not reported. */
export const statementListeners = new Set<StatementListener>();

/** @param statement its text or a query object, as `pg` accepts them */
function tellListeners(statement: unknown, valuesBeside: unknown): void {
  const { text, values, name } = (
    typeof statement === 'string' ? { text: statement, values: valuesBeside } : (statement ?? {})
  ) as Partial<Statement>;
  if (text === undefined) return;
  for (const listener of statementListeners) listener(text, Array.isArray(values) ? values : [], name);
}

class ScopedClient extends pg.Client {
  /** The key of the reach this connection is set to; undefined when not known. */
  setFor: string | undefined;
  /** Whether the connection is limited to some depots of a fleet. */
  isInDepots = false;
  /** The key of the reach it is checked out for; undefined while it is in the pool. */
  checkedOutFor: string | undefined;

  constructor(config?: string | pg.ClientConfig) {
    super(config);
    // When a connection breaks, whoever waits for an answer gets the error. The connection also
    // emits it. Between check-out and the first statement nobody listens, and an unhandled error
    // would end the process.
    this.on('error', () => undefined);
  }

  // pg's query() has many overloads. The gate only checks the scope and passes everything on.
  override query(...args: unknown[]): never {
    if (this.checkedOutFor !== undefined && currentReach().key !== this.checkedOutFor) {
      throw new Error('a database connection was used outside the fleet it was taken for');
    }
    if (statementListeners.size > 0) tellListeners(args[0], args[1]);
    return (super.query as (...all: unknown[]) => never)(...args);
  }

  /**
   * Limits what all later statements can see. If that fails, the connection is closed before it can
   * answer anything else.
   */
  setTo({ fleetId, depotIds, key }: Reach): void {
    const wasInDepots = this.isInDepots;
    this.isInDepots = depotIds !== null;
    this.setFor = key;
    const statement =
      this.isInDepots || wasInDepots
        ? {
            ...setReach,
            values: [
              fleetId,
              depotIds === null ? '' : `{${depotIds.join()}}`,
              depotIds === null ? 'weephole_app' : 'weephole_depots',
            ],
          }
        : { ...setFleet, values: [fleetId] };
    // Send this and the caller's statement in one write to the socket, when both come in the same
    // turn.
    const { stream } = this.connection;
    stream.cork();
    process.nextTick(() => stream.uncork());
    // The gate's own query() would refuse: the connection is not handed out yet.
    // oxlint-disable-next-line typescript/unbound-method -- called with its `this` below
    const query = pg.Client.prototype.query as unknown as (
      this: pg.Client,
      config: object,
      callback: (error?: Error) => void,
    ) => void;
    query.call(this, statement, (failure) => {
      if (failure) stream.destroy(failure);
    });
  }
}

class ScopedPool extends pg.Pool {
  constructor(options: pg.PoolConfig) {
    super({ ...options, types, pipeline: true, Client: ScopedClient });
  }

  override connect(): Promise<pg.PoolClient>;
  override connect(callback: ConnectCallback): void;
  override connect(callback?: ConnectCallback): Promise<pg.PoolClient> | void {
    if (!callback) {
      return new Promise((resolve, reject) => {
        this.connect((error, client) => (client ? resolve(client) : reject(error)));
      });
    }
    // Read the reach now, not in the callback: the callback may run in the context of the request
    // that released the connection.
    const reach = currentReach();
    super.connect(
      (error: Error | undefined, pooled?: pg.PoolClient, release?: (error?: Error | boolean) => void) => {
        if (error || !pooled || !release) return callback(error);
        const client = pooled as unknown as ScopedClient;
        const giveBack = (problem?: Error | boolean): void => {
          client.checkedOutFor = undefined;
          release(problem);
        };
        const handOut = (): void => {
          client.checkedOutFor = reach.key;
          (client as unknown as pg.PoolClient).release = giveBack;
          callback(undefined, pooled, giveBack);
        };
        // Not awaited: the caller's first statement goes out right behind this one and runs after
        // it.
        if (client.setFor !== reach.key) client.setTo(reach);
        handOut();
      },
    );
  }
}

/** Replaces the `pg` package for TypeORM. */
export const scopedPg = { ...pg, native: undefined, Client: ScopedClient, Pool: ScopedPool };
