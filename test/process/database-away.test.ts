import pg from 'pg';
import { type OwnPostgres, startOwnPostgres } from '../support/own-postgres.js';
import { type ServiceProcess, startProcess } from '../support/processes.js';
import { until } from '../support/receiver.js';
import { type Answer, clientOf, type FleetHandle, insertFleet } from '../support/service.js';

describe('while PostgreSQL is down, the API', () => {
  let postgres: OwnPostgres;
  let api: ServiceProcess;
  let url: string;
  let fleet: FleetHandle;

  beforeAll(async () => {
    postgres = await startOwnPostgres();
    api = startProcess('src/main.api.js', { DATABASE_URL: postgres.url, PORT: '0', LOG_LEVEL: 'info' });
    await api.untilSays('listens on ');
    url = /listens on (\S+)/.exec(api.log())?.[1] ?? '';
    const admin = new pg.Client({ connectionString: postgres.url });
    await admin.connect();
    fleet = await insertFleet(admin, url);
    await admin.end();
  }, 240_000);
  afterAll(async () => {
    await api.end();
    await postgres.remove();
  });

  let depots = 0;

  const requests = (): Record<string, () => Promise<Answer>> => ({
    'a list': () => fleet.dashboard.get('/v1/due-list'),
    'one thing': () => fleet.manager.get('/v1/depots/0198c000-0000-7000-8000-000000000000'),
    'a new thing': () => fleet.manager.post('/v1/depots', { name: `Depot ${++depots}` }),
    'a change': () => fleet.manager.patch('/v1/fleet', { name: 'Renamed' }),
    'a removal': () => fleet.manager.delete('/v1/tokens/0198c000-0000-7000-8000-000000000000'),
    'a token that is not known': () =>
      clientOf(url, `wh_${Buffer.alloc(32, 1).toString('base64url')}`).get('/v1/fleet'),
  });
  const statuses = async (): Promise<number[]> =>
    (await Promise.all(Object.values(requests()).map((send) => send()))).map(({ status }) => status);
  const USUAL = [200, 404, 201, 200, 404, 401];

  it('answers 503 with Retry-After on every path, stays live, and recovers with PostgreSQL', async () => {
    expect(await statuses()).toEqual(USUAL);
    await postgres.stop();
    for (const [what, send] of Object.entries(requests())) {
      const { status, headers, body } = await send();
      expect([what, status, headers.get('retry-after'), headers.get('content-type'), body.type]).toEqual([
        what,
        503,
        '5',
        'application/problem+json; charset=utf-8',
        '/problems/database-away',
      ]);
    }
    expect((await clientOf(url, null).get('/health/live')).status).toBe(200);
    const ready = await clientOf(url, null).get('/health/ready');
    expect([ready.status, ready.headers.get('retry-after')]).toEqual([503, '5']);
    await postgres.start();
    await until(async () => (await clientOf(url, null).get('/health/ready')).status === 200);
    expect(await statuses()).toEqual(USUAL);
    expect(api.hasEnded()).toBe(false);
  }, 240_000);

  it('gives no other answer while connections break, and stores nothing twice', async () => {
    const over = new AbortController();
    const answers: Answer[] = [];
    const keys: string[] = [];
    // Each client insists with its key until it is answered otherwise than by 503.
    const insist = async (name: string): Promise<void> => {
      keys.push(name);
      for (;;) {
        const answer = await fleet.manager.post('/v1/depots', { name }, { 'idempotency-key': name });
        answers.push(answer);
        // The first attempt's transaction may not have ended yet: that is 409 with Retry-After.
        if (answer.status === 201) return;
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
    };
    const clients = Array.from({ length: 12 }, async (_, client) => {
      for (let count = 0; !over.signal.aborted; count++) await insist(`Under way ${client}-${count}`);
    });
    const admin = async (text: string): Promise<void> => {
      const connection = new pg.Client({ connectionString: postgres.url });
      await connection.connect();
      await connection.query(text);
      await connection.end();
    };
    for (let breaks = 0; breaks < 10; breaks++) {
      await new Promise((resolve) => setTimeout(resolve, 150));
      await admin(
        `select pg_terminate_backend(pid) from pg_stat_activity where application_name like 'weephole%'`,
      );
    }
    await postgres.stop();
    await postgres.start();
    await new Promise((resolve) => setTimeout(resolve, 500));
    over.abort();
    await Promise.all(clients);
    const seen = new Set(
      answers.map(({ status, headers }) => `${status} ${headers.get('retry-after') ?? ''}`),
    );
    expect([...seen].filter((each) => !['201 ', '503 5', '409 1'].includes(each))).toEqual([]);
    expect(seen).toContain('503 5');
    expect(api.hasEnded()).toBe(false);
    const client = new pg.Client({ connectionString: postgres.url });
    await client.connect();
    const { rows } = await client.query<{ name: string }>(
      `select name from depots where name like 'Under way%' order by name`,
    );
    await client.end();
    expect(rows.map(({ name }) => name).sort()).toEqual(keys.sort());
  }, 240_000);
});
