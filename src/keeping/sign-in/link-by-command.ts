import pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { newSignInSecret } from '../../platform/access/secrets-of-sign-in.js';
import type { Language } from '../../platform/words/languages.js';
import { signInAddress } from './sign-in-address.js';

/** The command may run on another machine, and the link may have to be passed on. */
const LASTS_MS = 24 * 3_600_000;

export interface FirstManager {
  fleetId: string;
  name: string;
  language: Language;
  /** The address under which people see the service. */
  base: string;
}

/** How the first manager of a new fleet signs in. */
export interface FirstSignIn {
  personId: string;
  url: string;
  expiresAt: string;
}

/**
 * Adds the first manager of a fleet, and makes a link that signs them in. The link is returned here
 * and can never be shown again.
 */
export async function addFirstManager(
  databaseUrl: string,
  { fleetId, name, language, base }: FirstManager,
): Promise<FirstSignIn> {
  const personId = uuidv7();
  const { secret, hash } = newSignInSecret('link');
  const now = new Date();
  const expiresAt = new Date(now.getTime() + LASTS_MS);
  const client = new pg.Client({
    connectionString: databaseUrl,
    application_name: 'weephole fleet',
    options: '-c role=weephole_app',
  });
  await client.connect();
  try {
    await client.query('begin');
    await client.query("select set_config('app.fleet_id', $1, true), set_config('app.actor', $2, true)", [
      fleetId,
      JSON.stringify({ kind: 'command', id: 'npm run fleet' }),
    ]);
    await client.query(
      `insert into people (fleet_id, id, name, role, language) values ($1, $2, $3, 'manager', $4)`,
      [fleetId, personId, name, language],
    );
    await client.query(
      `insert into sign_in_links (fleet_id, id, person_id, hash, created_at, expires_at) values ($1, $2, $3, $4, $5, $6)`,
      [fleetId, uuidv7(), personId, hash, now, expiresAt],
    );
    await client.query('commit');
  } finally {
    await client.end();
  }
  return { personId, url: signInAddress(base, secret), expiresAt: expiresAt.toISOString() };
}
