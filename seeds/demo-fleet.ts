import pg from 'pg';
import { DISTRICT } from './district.js';

/**
 * The fleet's name until everything of it is there. An interrupted load leaves it behind, by which
 * the next start knows.
 */
export const LOADING_NAME = `${DISTRICT.name}, being loaded`;

export interface FoundFleet {
  id: string;
  isWhole: boolean;
  createdAt: Date;
}

/**
 * Holds off another demonstration on the same database while this one looks for its fleet and loads
 * it.
 *
 * @returns lets the other one go on
 */
export async function alone(databaseUrl: string): Promise<() => Promise<void>> {
  const client = await connected(databaseUrl, 'weephole_sweep');
  await client.query('select pg_advisory_lock(hashtext($1))', [DISTRICT.name]);
  return () => client.end();
}

/**
 * The demonstration fleets of a database: by name, or by the id it is known to have, whatever it is
 * called by now.
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

/** Takes a demonstration fleet out of the database, all its rows; other fleets are not touched. */
export async function removeFleet(databaseUrl: string, fleetId: string): Promise<void> {
  const client = await connected(databaseUrl, 'weephole_owner');
  try {
    const { rows } = await client.query<{ name: string }>(
      `select c.relname as name from pg_class c join pg_attribute a on a.attrelid = c.oid
       where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attname = 'fleet_id' and not a.attisdropped`,
    );
    const tables = rows.map(({ name }) => client.escapeIdentifier(name));
    await client.query('begin');
    // Row-level security binds the owner as well, who has no fleet in scope, and would delete
    // nothing without a word.
    for (const table of [...tables, 'fleets'])
      await client.query(`alter table ${table} no force row level security`);
    // In one statement, at whose end foreign keys are checked: the order of the tables is then
    // nobody's concern.
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
  // Should the database go away while nothing is asked of it, the next question says so.
  client.on('error', () => undefined);
  await client.connect();
  return client;
}
