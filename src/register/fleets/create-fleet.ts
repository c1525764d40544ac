import pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { issueToken } from '../../platform/access/token.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Language } from '../../platform/words/languages.js';
import { ConfigError } from '../../platform/config/config.js';
import { zoneFaultInDatabase } from './zone-in-database.js';
import { message } from '../../platform/config/messages.js';

export interface NewFleet {
  name: string;
  timeZone: string;
  units: UnitSystem;
  language?: Language;
}

/**
 * Creates a fleet and its first manager token. The token is returned here and can never be shown
 * again.
 *
 * @throws ConfigError when the database does not know the time zone
 */
export async function createFleet(
  databaseUrl: string,
  { name, timeZone, units, language = 'en' }: NewFleet,
): Promise<{ fleetId: string; token: string }> {
  const fleetId = uuidv7();
  const { token, hash } = issueToken();
  const client = new pg.Client({
    connectionString: databaseUrl,
    application_name: 'weephole fleet',
    options: '-c role=weephole_app',
  });
  await client.connect();
  try {
    const fault = await zoneFaultInDatabase(
      async (sql, values) => (await client.query(sql, values)).rows,
      timeZone,
    );
    if (fault !== null)
      throw new ConfigError(message('command-option-fault', { option: '--time-zone', fault }));
    await client.query("select set_config('app.actor', $1, false)", [
      JSON.stringify({ kind: 'command', id: 'npm run fleet' }),
    ]);
    await client.query('select create_fleet($1, $2, $3, $4, $5, $6, $7, $8)', [
      fleetId,
      name,
      timeZone,
      units,
      uuidv7(),
      'first manager',
      hash,
      language,
    ]);
  } finally {
    await client.end();
  }
  return { fleetId, token };
}
