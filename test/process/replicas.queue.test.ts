import slotOf from 'cluster-key-slot';
import { Redis } from 'ioredis';
import pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { zoneAtNoon } from '../support/clock.js';
import { type OwnPostgres, startOwnPostgres } from '../support/own-postgres.js';
import { type ServiceProcess, startProcess } from '../support/processes.js';
import { type Receiver, startReceiver, until } from '../support/receiver.js';
import { startOwnRedis } from '../support/redis-server.mjs';
import { goodJob, postScenario, type Scenario } from '../support/scenario.js';
import { type Client, clientOf, type FleetHandle, insertFleet } from '../support/service.js';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

const VEHICLES = 30;
const LISTENS = /listens on (http:\/\/\S+)/;

/** The client of a role at each of the two APIs, in turn with every call. */
function inTurn(urls: string[], token: string | null): () => Client {
  const clients = urls.map((url) => clientOf(url, token));
  let calls = 0;
  return () => clients[calls++ % clients.length] as Client;
}

describe('two APIs and two workers behind one address', () => {
  let postgres: OwnPostgres;
  let redis: Awaited<ReturnType<typeof startOwnRedis>> | null = null;
  let receiver: Receiver;
  let apis: ServiceProcess[];
  let workers: ServiceProcess[];
  let admin: pg.Client;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let urls: string[];
  let manager: () => Client;
  let mechanic: () => Client;
  let dashboard: () => Client;
  const vehicleIds: string[] = [];
  const daysAgo = (days: number): string => new Date(Date.now() - days * 86_400_000).toISOString();

  beforeAll(async () => {
    postgres = await startOwnPostgres();
    if (QUEUE === 'redis') redis = await startOwnRedis();
    receiver = await startReceiver();
    const env = {
      ...{ DATABASE_URL: postgres.url, QUEUE_URL: redis?.url ?? '', PORT: '0', LOG_LEVEL: 'warn' },
      ...{ WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true', QUEUE_CHECK_SECONDS: '1' },
      // As a Redis Cluster would need it.
      QUEUE_PREFIX: '{weephole}',
    };
    apis = [startProcess('src/main.api.js', env), startProcess('src/main.api.js', env)];
    workers = [startProcess('src/main.worker.js', env), startProcess('src/main.worker.js', env)];
    await Promise.all(apis.map((api) => api.untilSays(LISTENS, 60_000)));
    urls = apis.map((api) => LISTENS.exec(api.log())?.[1] ?? '');
    admin = new pg.Client({ connectionString: postgres.url });
    await admin.connect();
    fleet = await insertFleet(admin, urls[0] ?? '', { timeZone: zoneAtNoon() });
    manager = inTurn(urls, fleet.manager.token);
    mechanic = inTurn(urls, fleet.mechanic.token);
    dashboard = inTurn(urls, fleet.dashboard.token);
    scenario = await postScenario(fleet);
    vehicleIds.push(scenario.vehicleId);
    for (let n = 1; n < VEHICLES; n++) {
      const { depotId, specSheetId, intervalPlanId } = scenario;
      const vehicle = await manager().post('/v1/vehicles', {
        ...{ unitNumber: `R-${200 + n}`, depotId, specSheetId, intervalPlanId, duty: 'severe' },
        ...{ inServiceOn: '2021-03-15', inServiceOdometer: { value: 12, unit: 'mi' } },
      });
      vehicleIds.push(vehicle.body.id);
    }
  }, 240_000);
  afterAll(async () => {
    await admin.end();
    await Promise.all([...apis, ...workers].map((each) => each.end()));
    await receiver.close();
    await redis?.stop();
    await postgres.remove();
  }, 240_000);

  async function count(text: string): Promise<number> {
    const { rows } = await admin.query<{ count: number }>(`select count(*)::int as count from ${text}`);
    return rows[0]?.count ?? Number.NaN;
  }

  it('store a reading and a report once, even if both get them at the same time', async () => {
    const readings = vehicleIds.flatMap((vehicleId) =>
      [30, 20, 10, 1].map((days, n) => ({
        ...{ vehicleId, readAt: daysAgo(days), source: 'telematics' },
        odometer: { value: 58_700 + 400 * n, unit: 'mi' },
      })),
    );
    const batches = [readings.slice(0, 60), readings.slice(60)];
    const answers = await Promise.all(
      batches.flatMap((batch) => urls.map(() => mechanic().post('/v1/usage-readings', { readings: batch }))),
    );
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200]);
    const sum = (key: string) => answers.reduce((total, { body }) => total + body[key], 0);
    expect([sum('accepted'), sum('duplicate')]).toEqual([readings.length, readings.length]);
    expect(await count('usage_readings')).toBe(readings.length);

    const reports = vehicleIds.slice(0, 10).map((vehicleId) => ({
      ...goodJob(vehicleId, daysAgo(0.5), 59_950),
      id: uuidv7(),
    }));
    const posted = await Promise.all(
      reports.flatMap((report) => urls.map(() => mechanic().post('/v1/job-reports', report))),
    );
    expect(posted.filter(({ status }) => status >= 400).map(({ body }) => body)).toEqual([]);
    expect(await count('job_reports')).toBe(reports.length);

    // The same key at the same time: done once; the other is given the same answer, or told that it
    // is under way.
    const key = { 'idempotency-key': 'level at noon' };
    const level = {
      kind: 'level-check',
      takenAt: daysAgo(0.4),
      belowMark: { value: 0, unit: 'L' },
      engineCold: true,
    };
    const path = `/v1/vehicles/${vehicleIds[20]}/readings`;
    const both = await Promise.all(urls.map(() => mechanic().post(path, level, key)));
    expect(both.every(({ status }) => status === 201 || status === 409)).toBe(true);
    const again = [await mechanic().post(path, level, key), await mechanic().post(path, level, key)];
    expect(new Set(again.map(({ status, body }) => `${status} ${body.id}`)).size).toBe(1);
    expect(await count(`readings where vehicle_id = '${vehicleIds[20]}'`)).toBe(1);
  });

  it('know each other’s answers, and give no outdated one', async () => {
    for (const path of ['/v1/due-list', '/v1/due-list/summary', '/v1/due-list?component=water-pump']) {
      // Twice at each, so that both keep it.
      const four = [await dashboard().get(path), await dashboard().get(path)];
      four.push(await dashboard().get(path), await dashboard().get(path));
      const etags = new Set(four.map(({ headers }) => headers.get('etag')));
      expect(etags.size).toBe(1);
      const [etag] = [...etags] as [string];
      for (let n = 0; n < 4; n++)
        expect((await dashboard().get(path, { 'if-none-match': etag })).status).toBe(304);
    }
    let etag = (await dashboard().get('/v1/due-list/summary')).headers.get('etag') ?? '';
    for (let n = 0; n < 12; n++) {
      const before = (await dashboard().get('/v1/due-list/summary')).body.states;
      // Posted at the one, read at the other, whichever comes first.
      if (n % 2) await dashboard().get('/v1/due-list/summary');
      const changed = await manager().patch(`/v1/vehicles/${vehicleIds[n + 10]}`, { status: 'disposed' });
      expect(changed.status).toBe(200);
      const read = await dashboard().get('/v1/due-list/summary', { 'if-none-match': etag });
      expect(read.status).toBe(200);
      const total = (states: Record<string, number>) => Object.values(states).reduce((a, b) => a + b, 0);
      expect(total(before) - total(read.body.states)).toBe(4);
      etag = read.headers.get('etag') ?? '';
    }
  });

  it('send each reminder once', async () => {
    const made = await manager().post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: receiver.url, hears: ['due-line'] },
    });
    expect(made.status).toBe(201);
    // What stood already came in one message; what comes to be due now comes line by line.
    await receiver.untilReceived(1, 30_000);
    expect(receiver.received[0]?.body.type).toBe('digest');
    // At 60,000 mi the belt is due under severe duty. Each vehicle is swept by whichever worker
    // comes first, and each is asked for twice.
    const left = vehicleIds.slice(22);
    await Promise.all(
      [...left, ...left].map((vehicleId, n) =>
        mechanic().post('/v1/usage-readings', {
          readings: [
            {
              ...{ vehicleId, readAt: daysAgo(0.1 - n * 1e-4), source: 'telematics' },
              odometer: { value: 60_030 + n, unit: 'mi' },
            },
          ],
        }),
      ),
    );
    const waiting = () => count(`reminders where news = 'due-line' and status = 'waiting'`);
    const sent = () => count(`reminders where news = 'due-line' and status = 'sent' and digest_id is null`);
    await until(async () => (await sent()) >= left.length && (await waiting()) === 0, 60_000);
    const ids = receiver.received.map(({ headers }) => String(headers['webhook-id']));
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.length).toBe((await sent()) + 1);
    const { rows } = await admin.query<{ most: number }>(
      'select max(times)::int as most from (select count(*) as times from reminder_attempts group by reminder_id) each',
    );
    expect(rows[0]?.most).toBe(1);
  }, 240_000);

  it('put all keys in Redis into one slot, as a Redis Cluster needs', async () => {
    const client = redis === null ? null : new Redis(redis.url);
    const keys = (await client?.keys('*')) ?? [];
    await client?.quit();
    const slots = new Set(keys.map((key) => slotOf(key)));
    expect([keys.length > 5, slots.size]).toEqual(QUEUE === 'redis' ? [true, 1] : [false, 0]);
  });
});
