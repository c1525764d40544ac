import pg from 'pg';
import { cloneDatabase, type TestDatabase } from '../support/database.js';
import { seedDueLine } from '../support/due-lines.js';
import { zoneAtNoon } from '../support/clock.js';
import { type ServiceProcess, startProcess } from '../support/processes.js';
import { type Receiver, startReceiver, until } from '../support/receiver.js';
import { clientOf, type FleetHandle, insertFleet, type Service } from '../support/service.js';
import { askForSweep } from '../support/sweep-requests.js';

/** Longer than two signals that count as one may lie apart. */
const PATIENCE_MS = 700;

describe('a process that is told to end', () => {
  let database: TestDatabase;
  let receiver: Receiver;
  let service: ServiceProcess;
  let fleet: FleetHandle;
  let url: string;

  beforeEach(async () => {
    database = await cloneDatabase();
    receiver = await startReceiver();
    service = startProcess('src/main.js', {
      DATABASE_URL: database.url,
      PORT: '0',
      QUEUE_CHECK_SECONDS: '1',
      WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true',
    });
    await service.untilSays('listens on ');
    url = /listens on (\S+)/.exec(service.log())?.[1] ?? '';
    fleet = await insertFleet(database.admin, url, { timeZone: zoneAtNoon() });
  }, 240_000);
  afterEach(async () => {
    if (!service.hasEnded()) await service.killHard();
    await receiver.close();
    await database.drop();
  });

  /** Holds whatever writes depots until it is called. */
  async function holdDepots(): Promise<() => Promise<void>> {
    const holder = new pg.Client({ connectionString: database.url });
    await holder.connect();
    await holder.query('begin');
    await holder.query('lock table depots in access exclusive mode');
    return () => holder.end();
  }

  const isHeld = async (): Promise<boolean> => {
    const { rows } = await database.admin.query(
      `select from pg_stat_activity where wait_event_type = 'Lock' and datname = current_database()`,
    );
    return rows.length > 0;
  };

  /** Resolves when the process has taken notice of the signal. */
  const untilEnding = (): Promise<void> =>
    until(async () => (await clientOf(url, null).get('/health/live')).status === 503, 30_000);

  it('answers current requests, and refuses new ones', async () => {
    const letGo = await holdDepots();
    const underWay = fleet.manager.post('/v1/depots', { name: 'Under way' });
    await until(isHeld);
    service.child.kill('SIGTERM');
    await untilEnding();
    const refused = await fleet.manager.get('/v1/fleet');
    expect([refused.status, refused.body.type, refused.headers.get('retry-after')]).toEqual([
      503,
      '/problems/ending',
      '5',
    ]);
    expect(service.hasEnded()).toBe(false);
    await letGo();
    expect((await underWay).status).toBe(201);
    expect(await service.ended).toBe(0);
  }, 240_000);

  it('finishes its current job', async () => {
    let reply: () => void = () => undefined;
    const asked = new Promise<void>((resolve) => {
      receiver.answer = (held) => {
        reply = () => held.writeHead(204).end();
        resolve();
      };
    });
    const target = { kind: 'webhook', address: receiver.url };
    expect((await fleet.manager.post('/v1/reminder-targets', target)).status).toBe(201);
    const today = Date.now();
    const day = (days: number): string => new Date(today + days * 86_400_000).toISOString().slice(0, 10);
    const { vehicleId } = await seedDueLine({ database } as Service, fleet.fleetId, {
      windowOpensOn: day(-20),
      dueOn: day(-5),
      lateOn: day(20),
    });
    await askForSweep({ database } as Service, fleet.fleetId, [vehicleId]);
    await asked;
    service.child.kill('SIGTERM');
    await untilEnding();
    expect(service.hasEnded()).toBe(false);
    reply();
    expect(await service.ended).toBe(0);
    expect(receiver.received).toHaveLength(1);
    const { rows } = await database.admin.query(
      `select status, attempts from reminders where status <> 'superseded'`,
    );
    expect(rows).toEqual([{ status: 'sent', attempts: 1 }]);
  }, 240_000);

  it('ends at once on a second signal', async () => {
    const letGo = await holdDepots();
    const underWay = fleet.manager.post('/v1/depots', { name: 'Cut off' }).catch(() => 'cut off');
    await until(isHeld);
    service.child.kill('SIGTERM');
    await untilEnding();
    await new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
    service.child.kill('SIGTERM');
    expect(await service.ended).toBe(1);
    // What it would have waited for is held still.
    expect(service.log()).toContain('ending at once');
    expect(await underWay).toBe('cut off');
    await letGo();
  }, 240_000);

  it('leaves nothing open even right after its start', async () => {
    const worker = startProcess('src/main.worker.js', { DATABASE_URL: database.url });
    await worker.untilSays('at work');
    expect(await worker.end('SIGINT')).toBe(0);
    expect(worker.log()).not.toContain('did not close');
    expect(await service.end()).toBe(0);
  }, 240_000);
});
