import { mkdtempSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { stopLeftover } from '../../src/platform/embedded/postmaster.js';
import { clusterHome } from '../platform/embedded/support.js';
import { zoneAtNoon } from '../support/clock.js';
import { type ServiceProcess, startProcess } from '../support/processes.js';
import { type Receiver, startReceiver, until } from '../support/receiver.js';
import { postScenario } from '../support/scenario.js';
import { clientOf, type FleetHandle, insertFleet } from '../support/service.js';

/** Creating a database, or recovering one, on a machine that is busy with other tests. */
const STARTS_WITHIN_MS = 60_000;

describe('a killed embedded PostgreSQL', () => {
  let dataDir: string;
  let receiver: Receiver;
  const processes: ServiceProcess[] = [];

  beforeAll(async () => {
    dataDir = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-killed-')));
    receiver = await startReceiver();
  });
  afterAll(async () => {
    for (const each of processes) if (!each.hasEnded()) await each.killHard();
    await stopLeftover(join(clusterHome(dataDir), 'postgres'));
    await receiver.close();
    rmSync(dataDir, { recursive: true, force: true });
  });

  function start(name: string): ServiceProcess {
    const started = startProcess(name, {
      // In production there is none.
      NODE_ENV: '',
      WEEPHOLE_DATA_DIR: dataDir,
      PORT: '0',
      QUEUE_CHECK_SECONDS: '1',
      WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true',
    });
    processes.push(started);
    return started;
  }

  async function startApi(name: string): Promise<{ api: ServiceProcess; url: string }> {
    const api = start(name);
    await api.untilSays('listens on ', STARTS_WITHIN_MS);
    return { api, url: /listens on (\S+)/.exec(api.log())?.[1] ?? '' };
  }

  const running = (): { url: string; pid: number } =>
    JSON.parse(readFileSync(join(dataDir, 'service.json'), 'utf8')) as { url: string; pid: number };

  async function newFleet(url: string): Promise<FleetHandle> {
    const admin = new pg.Client({ connectionString: running().url });
    await admin.connect();
    const fleet = await insertFleet(admin, url, { timeZone: zoneAtNoon() });
    await admin.end();
    const target = { kind: 'webhook', address: receiver.url };
    expect((await fleet.manager.post('/v1/reminder-targets', target)).status).toBe(201);
    return fleet;
  }

  /** Posts a vehicle and a reading that makes its lines late: a reminder is to come of it. */
  async function untilReminded(fleet: FleetHandle, by: ServiceProcess): Promise<void> {
    const before = receiver.received.length;
    const { vehicleId } = await postScenario(fleet);
    const posted = await fleet.mechanic.post('/v1/usage-readings', {
      readings: [{ vehicleId, readAt: new Date().toISOString(), odometer: { value: 400_000, unit: 'mi' } }],
    });
    expect([posted.status, posted.body]).toEqual([200, expect.anything()]);
    await until(
      () => receiver.received.length > before,
      STARTS_WITHIN_MS,
      () => `no reminder came; the worker said:\n${by.log().slice(-3000)}`,
    );
  }

  async function killPostgres(api: ServiceProcess, url: string): Promise<void> {
    const { pid } = running();
    process.kill(pid, 'SIGKILL');
    await api.untilSays(`PostgreSQL (pid ${pid}) stopped unexpectedly`);
    await api.untilSays('PostgreSQL is running again', STARTS_WITHIN_MS);
    expect(running().pid).not.toBe(pid);
    await until(async () => (await clientOf(url, null).get('/health/ready')).status === 200, 90_000);
    expect(api.log().match(/stopped unexpectedly/g)).toHaveLength(1);
  }

  it('is started again by its owner, and processes that joined it continue too', async () => {
    const { api, url } = await startApi('src/main.api.js');
    const worker = start('src/main.worker.js');
    await worker.untilSays('at work', STARTS_WITHIN_MS);
    const fleet = await newFleet(url);
    const address = running().url;
    await killPostgres(api, url);
    expect(running().url).toBe(address);
    await untilReminded(fleet, worker);
    expect([api.hasEnded(), worker.hasEnded()]).toEqual([false, false]);
    await Promise.all([api.killHard(), worker.killHard()]);
  }, 240_000);

  it('is started again by a process that had taken it over', async () => {
    const { api, url } = await startApi('src/main.js');
    expect(api.log()).toContain('Took over the PostgreSQL');
    const fleet = await newFleet(url);
    await killPostgres(api, url);
    await untilReminded(fleet, api);
    expect(await api.end()).toBe(0);
    expect(api.log()).not.toContain('did not close');
  }, 240_000);

  it('that does not start again makes its owner say why in one line and exit with a status for a supervisor', async () => {
    const { api } = await startApi('src/main.js');
    const { pid } = running();
    const settings = join(clusterHome(dataDir), 'postgres', 'postgresql.auto.conf');
    const sound = readFileSync(settings, 'utf8');
    writeFileSync(settings, 'no_such_setting = 1\n');
    process.kill(pid, 'SIGKILL');
    expect(await api.ended).toBe(1);
    writeFileSync(settings, sound);
    const last = api
      .log()
      .split('\n')
      .filter((line) => line.startsWith('weephole: '));
    expect(last).toEqual([
      expect.stringMatching(
        `^weephole: PostgreSQL \\(pid ${pid}\\) stopped unexpectedly and does not start again: `,
      ),
    ]);
    // What a supervisor does.
    const again = await startApi('src/main.js');
    expect(await again.api.end()).toBe(0);
  }, 240_000);
});
