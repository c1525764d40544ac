import pg from 'pg';
import { DISTRICT } from './district.js';

/**
 * The fleet's name until it is complete. The next start recognises an interrupted load by this
 * name.
 */
export const LOADING_NAME = `${DISTRICT.name}, being loaded`;

export interface FoundFleet {
  id: string;
  isWhole: boolean;
  createdAt: Date;
}

/**
 * Keeps other demonstrations on the same database waiting while this one looks for its fleet and
 * loads it.
 *
 * @returns a function that lets the others continue
 */
export async function alone(databaseUrl: string): Promise<() => Promise<void>> {
  const client = await connected(databaseUrl, 'weephole_sweep');
  await client.query('select pg_advisory_lock(hashtext($1))', [DISTRICT.name]);
  return () => client.end();
}

/**
 * Finds the demonstration fleets of a database: by name, or by a known id if the fleet was renamed.
 */
export async function findDemoFleets(databaseUrl: string, knownId: string | null): Promise<FoundFleet[]> {
  const client = await connected(databaseUrl, 'weephole_sweep');
  try {
    const { rows } = await client.query<FoundFleet>(
      `select id, name <> $2 as "isWhole", created_at as "createdAt" from fleets
       where name in ($1, $2) or id = $3 order by created_at`,
      [DISTRICT.name, LOADING_NAME, knownId],
    );
    return rows;
  } finally {
    await client.end();
  }
}

const DEADLOCK = '40P01';
const TRIES = 10;

/**
 * Deletes a demonstration fleet with all its rows; other fleets are not touched. It locks every
 * table. If PostgreSQL ends it because somebody else locked them in another order, it begins again.
 */
export async function removeFleet(databaseUrl: string, fleetId: string): Promise<void> {
  for (let tries = 1; ; tries++) {
    try {
      await removeRows(databaseUrl, fleetId);
      return;
    } catch (error) {
      if (tries === TRIES || (error as { code?: string }).code !== DEADLOCK) throw error;
    }
  }
}

async function removeRows(databaseUrl: string, fleetId: string): Promise<void> {
  const client = await connected(databaseUrl, 'weephole_owner');
  try {
    const { rows } = await client.query<{ name: string }>(
      `select c.relname as name from pg_class c join pg_attribute a on a.attrelid = c.oid
       where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attname = 'fleet_id' and not a.attisdropped`,
    );
    const tables = rows.map(({ name }) => client.escapeIdentifier(name));
    await client.query('begin');
    // Row-level security applies to the owner too, who has no fleet in scope and would silently
    // delete nothing.
    for (const table of [...tables, 'fleets'])
      await client.query(`alter table ${table} no force row level security`);
    // Foreign keys are checked at the end of the statement, so in one statement the order of the
    // tables does not matter.
    const parts = tables.map((table, index) => `d${index} as (delete from ${table} where fleet_id = $1)`);
    await client.query(`with ${parts.join(', ')} delete from fleets where id = $1`, [fleetId]);
    for (const table of [...tables, 'fleets'])
      await client.query(`alter table ${table} force row level security`);
    await client.query('commit');
  } finally {
    await client.end();
  }
}

async function connected(databaseUrl: string, role: string): Promise<pg.Client> {
  const client = new pg.Client({
    connectionString: databaseUrl,
    application_name: 'weephole demo',
    options: `-c role=${role}`,
  });
  // If the database goes away while the connection is idle, the next query reports it.
  client.on('error', () => undefined);
  await client.connect();
  return client;
}
