import { cpSync, existsSync, mkdtempSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { buildApi } from '../../src/bootstrap.api.js';
import { rebuildAll } from '../../src/conclusions/pipeline/rebuild.js';
import { readConfig } from '../../src/platform/config/config.js';
import { migrate } from '../../src/platform/migration/migrate.js';
import { startEmbedded } from '../../src/platform/embedded/embedded-postgres.js';
import { schema } from '../../src/schema.js';
import { TestClock } from '../support/clock.js';
import { goodJob, postScenario } from '../support/scenario.js';
import { type Client, clientOf, insertFleet } from '../support/service.js';

const clock = new TestClock(new Date('2026-04-02T15:00:00Z'));

/** Serves from a database while `use` runs. */
async function serving(databaseUrl: string, use: (url: string) => Promise<void>): Promise<void> {
  const app = await buildApi(readConfig({ LOG_LEVEL: 'fatal' }, databaseUrl), { withWorker: false, clock });
  try {
    await app.listen(0, '127.0.0.1');
    await use(await app.getUrl());
  } finally {
    await app.close();
  }
}

/** Each table of the service with its number of rows. */
async function rowCounts(databaseUrl: string): Promise<Record<string, number>> {
  const client = new pg.Client({ connectionString: databaseUrl });
  await client.connect();
  try {
    const { rows: tables } = await client.query<{ name: string }>(
      `select quote_ident(relname) as name from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r' order by 1`,
    );
    const counts: Record<string, number> = {};
    for (const { name } of tables) {
      const { rows } = await client.query<{ count: number }>(`select count(*)::int as count from ${name}`);
      counts[name] = rows[0]?.count ?? -1;
    }
    return counts;
  } finally {
    await client.end();
  }
}

/** Where the cluster of a data directory is, which root may have had to put elsewhere. */
function clusterOf(dataDir: string): string {
  const record = join(dataDir, 'postgres.location');
  return join(existsSync(record) ? readFileSync(record, 'utf8').trim() : dataDir, 'postgres');
}

describe('a copy of a stopped service’s cluster', () => {
  const directories: string[] = [];
  const directory = (): string => {
    const made = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-backup-')));
    directories.push(made);
    return made;
  };
  afterAll(() => {
    for (const made of directories) rmSync(made, { recursive: true, force: true });
  });

  it('can be restored to an empty data directory: all rows are there, and a rebuild finds no difference', async () => {
    const from = directory();
    const first = await startEmbedded({ dataDir: from, durable: false });
    let token = '';
    let before: unknown;
    const dueList = async (manager: Client): Promise<unknown> =>
      (await manager.get('/v1/due-list')).body.items;
    try {
      await migrate(first.url, schema);
      await serving(first.url, async (url) => {
        const admin = new pg.Client({ connectionString: first.url });
        await admin.connect();
        const fleet = await insertFleet(admin, url);
        await admin.end();
        const { vehicleId } = await postScenario(fleet);
        for (const [day, odometerMi] of [
          ['2025-11-03', 61_000],
          ['2026-03-30', 70_500],
        ] as const) {
          const { status } = await fleet.mechanic.post(
            '/v1/job-reports',
            goodJob(vehicleId, `${day}T15:00:00Z`, odometerMi),
          );
          expect(status).toBe(201);
        }
        token = fleet.manager.token;
        before = await dueList(fleet.manager);
      });
    } finally {
      // A copy of a cluster that runs may not start.
      await first.stop();
    }
    const backup = join(directory(), 'postgres');
    cpSync(clusterOf(from), backup, { recursive: true, preserveTimestamps: true });

    const counted = await startEmbedded({ dataDir: from, durable: false });
    const rows = await rowCounts(counted.url);
    await counted.stop();
    expect(rows).toMatchObject({ fleets: 1, vehicles: 1, job_reports: 2 });
    expect(rows.readings).toBeGreaterThan(10);

    const to = directory();
    cpSync(backup, join(to, 'postgres'), { recursive: true, preserveTimestamps: true });
    const second = await startEmbedded({ dataDir: to, durable: false });
    try {
      expect(await rowCounts(second.url)).toEqual(rows);
      // Nothing left for the migrations to do either.
      expect(await migrate(second.url, schema)).toEqual([]);
      expect(await rebuildAll({ databaseUrl: second.url, schema, clock })).toEqual({
        vehicles: 1,
        differences: [],
      });
      await serving(second.url, async (url) => {
        expect(await dueList(clientOf(url, token))).toEqual(before);
      });
    } finally {
      await second.stop();
    }
  }, 240_000);
});
