import pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { issueToken } from '../../platform/access/token.js';
import type { Role } from '../../platform/scope/roles.js';
import { ConfigError } from '../../platform/config/config.js';
import { message } from '../fleet-data/messages.js';
import { raisingChangeNumber } from '../../platform/database/change-number.js';

export interface TokenOrder {
  fleetId: string;
  role: Role;
  name: string;
}

export interface IssuedToken extends TokenOrder {
  id: string;
  token: string;
}

/** How many fleets to list after an unknown id. A longer list would not help. */
const FLEETS_NAMED = 20;

/** The table or a role is missing: the database was never migrated. */
const NOT_MIGRATED = new Set(['42P01', '22023']);

/**
 * Issues a token without needing one: for operators, when a fleet has lost its last. The token is
 * shown only here.
 *
 * @throws ConfigError when there is no such fleet
 */
export async function issueByCommand(databaseUrl: string, order: TokenOrder): Promise<IssuedToken> {
  const client = new pg.Client({
    connectionString: databaseUrl,
    application_name: 'weephole token',
    options: '-c role=weephole_owner',
  });
  try {
    await client.connect();
    await assertFleet(client, order.fleetId);
    return await insertToken(client, order);
  } catch (error) {
    if (!NOT_MIGRATED.has((error as { code?: string }).code ?? '')) throw error;
    throw new ConfigError(message('command-fleets-none'));
  } finally {
    await client.end();
  }
}

async function assertFleet(client: pg.Client, fleetId: string): Promise<void> {
  const { rows } = await client.query<{ id: string; name: string }>(
    'select id, name from fleets order by id = $1 desc, name, id limit $2',
    [fleetId, FLEETS_NAMED],
  );
  if (rows[0]?.id === fleetId) return;
  const known = rows.map(({ id, name }) => `  ${id}  ${name}`).join('\n');
  throw new ConfigError(
    known === ''
      ? message('command-fleets-none')
      : message('command-fleet-unknown-among', { given: fleetId, fleets: known }),
  );
}

/** Inserts the token as the service would: within the fleet, with an audit entry. */
async function insertToken(client: pg.Client, { fleetId, role, name }: TokenOrder): Promise<IssuedToken> {
  const id = uuidv7();
  const { token, hash } = issueToken();
  await client.query('begin');
  await client.query('set local role weephole_app');
  await client.query("select set_config('app.fleet_id', $1, true), set_config('app.actor', $2, true)", [
    fleetId,
    JSON.stringify({ kind: 'command', id: 'npm run token' }),
  ]);
  await client.query(
    'insert into access_tokens (fleet_id, id, name, role, hash) values ($1, $2, $3, $4, $5)',
    [fleetId, id, name, role, hash],
  );
  await client.query(raisingChangeNumber(fleetId));
  await client.query('commit');
  return { fleetId, id, role, name, token };
}
