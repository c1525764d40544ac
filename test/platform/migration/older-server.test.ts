import type pg from 'pg';
import { refuseOlder } from '../../../src/platform/migration/migrate.js';
import { cloneDatabase } from '../../support/database.js';

/**
 * A connection to a server that claims to be of another version. Older servers are not available
 * here.
 */
function saying(number: number, version: string): Pick<pg.Client, 'query'> {
  return { query: async () => ({ rows: [{ number, version }] }) } as unknown as pg.Client;
}

describe('a PostgreSQL', () => {
  it('that lacks what the tables need is refused before anything changes', async () => {
    await expect(refuseOlder(saying(170_006, '17.6'))).rejects.toThrow(
      'The database is PostgreSQL 17.6; 18 or later is needed. Nothing was changed. Set DATABASE_URL to a newer server.',
    );
    await expect(refuseOlder(saying(180_000, '18.0'))).resolves.toBeUndefined();
  });

  it('that the tests run on lacks nothing', async () => {
    const database = await cloneDatabase();
    await expect(refuseOlder(database.admin)).resolves.toBeUndefined();
    await database.drop();
  });
});
