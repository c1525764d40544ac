import pg from 'pg';
import { buildWorker } from '../../../src/bootstrap.worker.js';
import { Config } from '../../../src/platform/config/config.js';
import { HealthService } from '../../../src/platform/health/health.service.js';
import { Metrics } from '../../../src/platform/observability/metrics.js';
import { OperatorListener } from '../../../src/platform/health/operator-listener.js';
import { QUEUE_CONNECTIONS } from '../../../src/platform/queue/work-queue.js';
import { seedDueLine } from '../../support/due-lines.js';
import { until } from '../../support/receiver.js';
import { type Service, startService } from '../../support/service.js';

describe('health', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ isAlone: true });
  });
  afterAll(() => service.stop());

  const get = (path: string) => service.client(null).get(path);

  it('is live and ready, without a token', async () => {
    const live = await get('/health/live');
    expect([live.status, live.body]).toEqual([200, { status: 'alive' }]);
    expect(live.headers.get('cache-control')).toBe('no-store');
    const ready = await get('/health/ready');
    expect([ready.status, ready.body]).toEqual([
      200,
      { status: 'ready', database: 'up', migrations: 'up-to-date', queue: 'up' },
    ]);
  });

  it('is not ready while a migration is missing, and names it', async () => {
    const { rows } = await service.database.admin.query('delete from schema_migrations returning *');
    expect(rows.length).toBeGreaterThan(0);
    const { status, headers, body } = await get('/health/ready');
    for (const { timestamp, name } of rows)
      await service.database.admin.query('insert into schema_migrations (timestamp, name) values ($1, $2)', [
        timestamp,
        name,
      ]);
    expect(status).toBe(503);
    expect(headers.get('content-type')).toContain('application/problem+json');
    expect(headers.get('retry-after')).toBe('5');
    expect(body.detail).toMatch(
      /^The service cannot work yet: the database lacks \d+ of \d+ migrations, the first \w+: run npm run migrate\.$/,
    );
    expect((await get('/health/ready')).status).toBe(200);
  });

  it('is not ready if the migrations have never run', async () => {
    await service.database.admin.query('alter table schema_migrations rename to set_aside');
    const { status, body } = await get('/health/ready');
    await service.database.admin.query('alter table set_aside rename to schema_migrations');
    expect([status, body.detail]).toEqual([503, expect.stringContaining('lacks')]);
  });

  it('names the queue or the database when it is down, and stays live', async () => {
    const away = await startService({ isAlone: true });
    try {
      // Closing its connections looks the same from here as the end of the queue.
      await away.app.get<{ close(): Promise<void> }>(QUEUE_CONNECTIONS).close();
      const noQueue = await away.client(null).get('/health/ready');
      expect([noQueue.status, noQueue.body.detail]).toEqual([
        503,
        'The service cannot work yet: the queue cannot be reached.',
      ]);

      await allowConnections(away, false);
      await away.database.admin.query(
        'select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()',
      );
      const neither = await away.client(null).get('/health/ready');
      expect([neither.status, neither.body.detail]).toEqual([
        503,
        'The service cannot work yet: the database cannot be reached and the queue cannot be reached.',
      ]);
      expect((await away.client(null).get('/health/live')).status).toBe(200);
    } finally {
      await allowConnections(away, true);
      await away.app.close().catch(() => undefined);
      await away.database.drop();
    }
  });
});

describe('metrics', () => {
  it('cover the process and requests by route, never by path', async () => {
    const service = await startService({ isAlone: true });
    try {
      const fleet = await service.newFleet();
      const id = '0198c000-0000-7000-8000-000000000000';
      await fleet.manager.get(`/v1/depots/${id}`);
      await fleet.manager.get('/v1/nothing-here');
      const { status, headers, body } = await service.operator().get('/metrics');
      expect(status).toBe(200);
      expect(headers.get('content-type')).toMatch(/^text\/plain; version=0\.0\.4/);
      expect(body).toMatch(
        /weephole_http_request_duration_seconds_count\{method="GET",route="\/v1\/depots\/:id",status="404"\} 1\n/,
      );
      expect(body).toMatch(
        /weephole_http_request_duration_seconds_count\{method="GET",route="none",status="404"\} 1\n/,
      );
      expect(body).toMatch(/^weephole_process_cpu_seconds_total /m);
      expect(body).not.toContain(id);
      expect(body).not.toContain('nothing-here');
    } finally {
      await service.stop();
    }
  });

  it('have their own address, and are never on that of the API', async () => {
    const service = await startService({ isAlone: true });
    const operator = service.operator();
    try {
      const own = await operator.get<string>('/metrics');
      expect([own.status, own.body]).toEqual([200, expect.stringContaining('weephole_nodejs_version_info')]);
      expect((await operator.get('/v1/fleet')).status).toBe(404);
      const fleet = await service.newFleet();
      for (const client of [service.client(null), fleet.manager])
        for (const path of ['/metrics', '/%6detrics'])
          expect([path, (await client.get(path)).status]).toEqual([path, 404]);
    } finally {
      await service.stop();
    }
    await expect(operator.get('/metrics')).rejects.toThrow();
  });

  it('are left out if the default port is taken, but a taken port that was set stops the start', async () => {
    const service = await startService();
    const port = Number(new URL(service.operatorUrl()).port);
    const listener = (isDefault: boolean): OperatorListener =>
      new OperatorListener(
        Object.assign(new Config(), service.config, {
          metricsAddress: { host: '127.0.0.1', port, isDefault },
        }),
        service.app.get(Metrics),
        service.app.get(HealthService),
      );
    try {
      const second = listener(true);
      await second.onApplicationBootstrap();
      expect(second.listensOn).toBeNull();
      expect((await service.operator().get('/metrics')).status).toBe(200);
      await expect(listener(false).onApplicationBootstrap()).rejects.toMatchObject({ code: 'EADDRINUSE' });
    } finally {
      await service.stop();
    }
  });

  it('are also served by a separate worker, with those of reminders, if an address is set', async () => {
    const service = await startService({ isAlone: true });
    const config = Object.assign(new Config(), service.config, {
      metricsAddress: { host: '127.0.0.1', port: 0, isDefault: false },
    });
    const fleet = await service.newFleet();
    await seedDueLine(service, fleet.fleetId, {
      windowOpensOn: '2026-03-01',
      dueOn: '2026-03-10',
      lateOn: '2026-03-20',
    });
    const worker = await buildWorker(config, { clock: service.clock });
    try {
      await worker.init();
      const address = `http://127.0.0.1:${worker.get(OperatorListener).listensOn?.port}`;
      const own = await fetch(`${address}/metrics`);
      const text = await own.text();
      expect(text).toContain('weephole_reminders_oldest_unsent_seconds 0');
      expect(text).toMatch(/^weephole_due_lines\{state="late"\} 1$/m);
      expect(text).toMatch(/^weephole_due_lines\{state="due"\} 0$/m);
      expect(text).toMatch(/^weephole_queue_jobs\{queue="deliveries",state="waiting"\} \d+$/m);
      expect(text).toMatch(/^weephole_database_connections\{state="waited-for"\} 0$/m);
      await until(async () =>
        /^weephole_job_duration_seconds_count\{queue="work",job="sweep-fleet",outcome="done"\} [1-9]/m.test(
          await (await fetch(`${address}/metrics`)).text(),
        ),
      );
      const ready = await fetch(`${address}/health/ready`);
      expect([ready.status, await ready.json()]).toEqual([200, expect.objectContaining({ queue: 'up' })]);
      expect((await fetch(`${address}/health/live`)).status).toBe(200);
      expect((await fetch(`${address}/v1/fleet`)).status).toBe(404);
    } finally {
      await worker.close();
      await service.stop();
    }
  });
});

/**
 * Allows or forbids connections to a database. Does so from another database, because nobody can
 * lock the one they are connected to.
 */
async function allowConnections(service: Service, allowed: boolean): Promise<void> {
  const server = new pg.Client({ connectionString: process.env.WEEPHOLE_TEST_SERVER });
  await server.connect();
  const name = new URL(service.database.url).pathname.slice(1);
  await server.query(`alter database ${name} allow_connections ${allowed}`);
  await server.end();
}
