import pg from 'pg';
import { ConfigError } from '../../platform/config/config.js';
import type { Language } from '../../platform/words/languages.js';
import { fleetTables } from './fleet-tables.js';
import { message } from './messages.js';

/**
 * serialization_failure, deadlock_detected, foreign_key_violation: the service wrote at the same
 * time, so the work can be retried.
 */
const RETRYABLE = new Set(['40001', '40P01', '23503']);
const MAX_TRIES = 5;

/**
 * Runs a command's work as the owner of the tables, who may change what the service may not. The
 * owner sees the rows of the fleet that was entered and of no other.
 *
 * @param command name of the actor in the audit
 * @throws ConfigError when the database is not up to date, because rows of a table closed to the
 * owner would be missed
 */
export async function asOwner<T>(
  databaseUrl: string,
  command: string,
  work: (client: pg.Client) => Promise<T>,
): Promise<T> {
  const client = new pg.Client({
    connectionString: databaseUrl,
    application_name: `weephole ${command}`,
    options: '-c role=weephole_owner -c app.direct=on -c timezone=UTC',
  });
  await client.connect();
  try {
    await assertUsable(client);
    await client.query("select set_config('app.actor', $1, false)", [
      JSON.stringify({ kind: 'command', id: `npm run ${command}` }),
    ]);
    return await work(client);
  } finally {
    await client.end();
  }
}

async function assertUsable(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ direct: string | null }>(
    "select current_setting('app.direct', true) as direct",
  );
  if (rows[0]?.direct !== 'on') throw new ConfigError(message('command-through-pooler'));
  const tables = await fleetTables(client);
  if (tables.length === 0) throw new ConfigError(message('command-no-tables'));
  const closed = tables.filter(({ isOpenToOwner }) => !isOpenToOwner).map(({ name }) => name);
  if (closed.length > 0) throw new ConfigError(message('command-tables-closed', { tables: closed }));
}

/** Enters a fleet: until another is entered, the connection sees this fleet's rows. */
export async function enterFleet(client: pg.Client, fleetId: string): Promise<void> {
  await client.query("select set_config('app.entered_fleet_id', $1, false)", [fleetId]);
}

export interface FleetName {
  id: string;
  name: string;
}

export interface FoundFleet extends FleetName {
  language: Language;
}

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;

/** Finds a fleet by its id. @throws ConfigError when there is none */
export async function findFleet(client: pg.Client, id: string): Promise<FoundFleet> {
  const found = UUID.test(id)
    ? (await listFleets(client)).find((fleet) => fleet.id === id.toLowerCase())
    : null;
  if (!found) throw new ConfigError(message('command-fleet-unknown', { given: id }));
  return found;
}

export async function listFleets(client: pg.Client): Promise<FoundFleet[]> {
  return (await client.query<FoundFleet>('select id, name, language from fleets order by id')).rows;
}

/**
 * Runs work in one transaction, and retries it if the service wrote at the same time. With `keep`
 * false, rolls the work back and still returns its result.
 */
export async function inTransaction<T>(
  client: pg.Client,
  work: () => Promise<T>,
  { keep = true }: { keep?: boolean } = {},
): Promise<T> {
  for (let attempt = 1; ; attempt++) {
    await client.query('begin');
    try {
      const result = await work();
      await client.query(keep ? 'commit' : 'rollback');
      return result;
    } catch (error) {
      await client.query('rollback').catch(() => undefined);
      if (attempt >= MAX_TRIES || !RETRYABLE.has((error as { code?: string }).code ?? '')) throw error;
      await new Promise((resolve) => setTimeout(resolve, attempt * 200));
    }
  }
}
