import pg from 'pg';
import { currentReach, type Reach } from '../scope/fleet-scope.js';
import type { Statement } from './statement.js';

/**
 * The one gate between the service and its tables. TypeORM asks this pool for every connection it
 * uses, and the pool tells the connection which fleet the work is for before handing it out;
 * row-level security does the rest. Work outside a fleet sees no row.
 */
type ConnectCallback = (
  error: Error | undefined,
  client?: pg.PoolClient,
  release?: (error?: Error | boolean) => void,
) => void;

/**
 * Dates stay civil dates (a JavaScript Date would put them in the server's zone), and counts stay
 * numbers.
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
// A role of its own, so that the plans of whoever sees the whole fleet know nothing of depots.
const setReach = {
  name: 'set_reach',
  text: "select set_config('app.fleet_id', $1, false), set_config('app.depot_ids', $2, false), set_config('role', $3, false)",
};

/** Hears a statement, its values, and the name it is kept prepared under. */
type StatementListener = (text: string, values: readonly unknown[], name?: string) => void;

/** With these a test counts statements; the switch of the scope is not one. */
export const statementListeners = new Set<StatementListener>();

/** @param statement its text, or all of it, as `pg` takes them */
function tellListeners(statement: unknown, valuesBeside: unknown): void {
  const { text, values, name } = (
    typeof statement === 'string' ? { text: statement, values: valuesBeside } : (statement ?? {})
  ) as Partial<Statement>;
  if (text === undefined) return;
  for (const listener of statementListeners) listener(text, Array.isArray(values) ? values : [], name);
}

class ScopedClient extends pg.Client {
  /** What this connection is set to, as the key of a reach; undefined when not known. */
  setFor: string | undefined;
  /** Whether it is set to some depots of a fleet. */
  isInDepots = false;
  /** What it was handed out for, while it is handed out. */
  checkedOutFor: string | undefined;

  constructor(config?: string | pg.ClientConfig) {
    super(config);
    // A connection that breaks tells whoever waits for an answer on it. It also emits the error,
    // and between check-out and the first statement nobody would listen: that would end the
    // process.
    this.on('error', () => undefined);
  }

  // pg's query() has many overloads; the gate only looks at the scope and passes all of them on.
  override query(...args: unknown[]): never {
    if (this.checkedOutFor !== undefined && currentReach().key !== this.checkedOutFor) {
      throw new Error('a database connection was used outside the fleet it was taken for');
    }
    if (statementListeners.size > 0) tellListeners(args[0], args[1]);
    return (super.query as (...all: unknown[]) => never)(...args);
  }

  /**
   * Sets what may be seen for all that is asked from now on. Should that ever fail, the connection
   * is closed before it can answer anything else.
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
    // One write to the socket for this and for what the caller asks in the same turn.
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
    // Read now, not in the callback: by then the request that released the connection may be the
    // one whose scope is seen.
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
        // Not waited for: what is asked next on this connection goes out with it, and is done after
        // it.
        if (client.setFor !== reach.key) client.setTo(reach);
        handOut();
      },
    );
  }
}

/** What TypeORM takes for the `pg` package. */
export const scopedPg = { ...pg, native: undefined, Client: ScopedClient, Pool: ScopedPool };
