import { existsSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import pg from 'pg';
import { buildApi } from '../../src/bootstrap.api.js';
import { WakeUps } from '../../src/conclusions/outbox/wake-ups.js';
import { openStream } from './event-stream.js';
import { goodJob, postScenario } from './scenario.js';
import { type Service, startService } from './service.js';

describe('the service that test files share', () => {
  const tablesIn = async ({ database }: Service): Promise<string[]> => {
    const { rows } = await database.admin.query<{ name: string; rows: string }>(
      `select format('%I.%I', nspname, relname) as name,
         (xpath('/row/n/text()', query_to_xml(format('select count(*) as n from %I.%I', nspname, relname), false, true, '')))[1]::text as rows
       from pg_class join pg_namespace n on n.oid = relnamespace
       where relkind = 'r' and nspname in ('public', 'bullmq') order by 1`,
    );
    return rows.filter(({ rows: count }) => count !== '0').map(({ name }) => name);
  };

  it('shows a file nothing of the one before', async () => {
    const before = await startService({ at: '2027-05-01T12:00:00Z' });
    const filledAtFirst = await tablesIn(before);
    const fleet = await before.newFleet();
    const { vehicleId } = await postScenario(fleet);
    const job = goodJob(vehicleId, '2026-03-02T10:00:00Z', 40_000);
    expect((await fleet.mechanic.post('/v1/job-reports', job)).status).toBe(201);
    await before.app.get(WakeUps, { strict: false }).untilSent();
    const filled = await tablesIn(before);
    for (const name of ['public.job_reports', 'public.audit_entries', 'bullmq.job'])
      expect(filled).toContain(name);
    await mkdir(before.config.attachments.directory, { recursive: true });
    // A connection as no file would want it.
    await before.database.admin.query("set time zone 'Asia/Kolkata'; begin");
    await before.stop();

    const after = await startService();
    try {
      expect(after.url).toBe(before.url);
      expect(await tablesIn(after)).toEqual(filledAtFirst);
      expect(after.clock.now().toISOString()).toBe('2026-04-02T15:00:00.000Z');
      expect(existsSync(after.config.attachments.directory)).toBe(false);
      const { rows } = await after.database.admin.query(
        `select current_setting('TimeZone') as zone, (select last_value from pg_sequences where sequencename = 'job_seq') as job`,
      );
      expect(rows).toEqual([{ zone: expect.not.stringContaining('Kolkata'), job: null }]);
      expect((await fleet.manager.get('/v1/fleet')).status).toBe(401);
      expect((await (await after.newFleet()).manager.get('/v1/fleet')).status).toBe(200);
    } finally {
      await after.stop();
    }
  });

  it('is used by one file at a time, and not by a file that asks to be alone', async () => {
    const shared = await startService();
    const second = await startService();
    await second.stop();
    await shared.stop();
    const alone = await startService({ isAlone: true });
    await alone.stop();
    expect(new Set([shared.url, second.url, alone.url]).size).toBe(3);
  });

  it('keeps its schema', async () => {
    const service = await startService();
    const change = service.database.admin.query('alter table depots add column colour text');
    await expect(change).rejects.toThrow('starts a service with isAlone');
    await service.stop();
  });

  describe('fails a file that leaves something running, and is replaced for the next', () => {
    /** What is left, and how it is ended. */
    const LEFT: [string, (service: Service) => Promise<() => unknown>, RegExp][] = [
      [
        'a connection',
        async ({ database }) => {
          const client = new pg.Client({ connectionString: database.url });
          await client.connect();
          return () => client.end();
        },
        /^the test left 1 connections open: test$/,
      ],
      [
        'a second service',
        async ({ config, clock }) => {
          const other = await buildApi(config, { withWorker: false, clock });
          await other.init();
          return () => other.close();
        },
        /^the test left \d connections open: test/,
      ],
      [
        'a stream of events',
        async (service) => {
          const { dashboard } = await service.newFleet();
          const stream = await openStream(service.url, dashboard);
          return () => stream.close();
        },
        /^the test left 1 requests under way: \/v1\/due-list\/events$/,
      ],
    ];

    it.each(LEFT)('%s', async (_what, leave, message) => {
      const service = await startService();
      const end = await leave(service);
      await expect(service.stop()).rejects.toThrow(message);
      await end();
      const next = await startService();
      expect(next.url).not.toBe(service.url);
      await next.stop();
    });
  });
});
