import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { until } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { machineOf, machinesOf, vinOf } from '../../support/telematics/machines.js';
import {
  answers,
  breaksOff,
  drips,
  floods,
  hangs,
  type Misbehaviour,
  redirectsTo,
  tooManyRequests,
} from '../../support/telematics/misbehaviours.js';
import { recorded } from '../../support/telematics/recorded.js';
import { Sources } from '../../support/telematics/sources.js';
import { startTelematicsServer, type TelematicsServer } from '../../support/telematics/telematics-server.js';

const MIB = 1024 * 1024;
const NOW = '2026-04-02T16:00:00Z';

/** Begins a long answer, and says how long it is. */
const announces =
  (bytes: number): Misbehaviour =>
  (reply) =>
    reply.writeHead(200, { 'content-length': String(bytes) }).flushHeaders();

const xml = (name: string) => answers(200, Buffer.from(recorded(name)).toString('utf8'), 'application/xml');

describe('polling a telematics source', () => {
  let service: Service;
  let fleet: FleetHandle;
  let sources: Sources;
  let server: TelematicsServer;

  beforeAll(async () => {
    service = await startService({
      ...{ at: NOW, withWorker: true },
      env: { POLL_TIMEOUT_SECONDS: '3', QUEUE_CHECK_SECONDS: '1', POLL_CONCURRENCY: '3' },
    });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    sources = new Sources(service, fleet);
    server = await startTelematicsServer();
  });
  afterEach(async () => {
    // A source that is left would be polled during the next test.
    for (const { id } of (await fleet.manager.get('/v1/telematics-sources')).body.items)
      await fleet.manager.delete(`/v1/telematics-sources/${id}`);
    await server.close();
  });

  const snapshot = (): object => ({ kind: 'iso-15143-3', address: `${server.url}/Fleet/1` });
  const moveHours = (hours: number): void =>
    service.clock.moveTo(new Date(service.clock.now().getTime() + hours * 3_600_000));
  const move = (index: number, at: string, changes: object): void =>
    void Object.assign(server.machines[index] as object, { at, ...changes });
  async function differences(): Promise<string[]> {
    const { url: databaseUrl } = service.database;
    const found = await rebuildAll({ databaseUrl, schema, clock: service.clock, fleetIds: [fleet.fleetId] });
    return found.differences.map(({ what }) => what);
  }

  it('takes the counters of machines that it recognises, and lists the others', async () => {
    const byVin = await sources.vehicle({ unitNumber: 'Y-7', serialNumber: '0ZZ00000000000417' });
    const bySerial = await sources.vehicle({ unitNumber: 'T-9', serialNumber: 'tb-9', make: 'Tollbrook' });
    server.next.push(xml('iso-snapshot.xml'));
    server.always = answers(404);
    const id = await sources.add(snapshot());
    expect(await sources.machines(id)).toMatchObject([
      { vin: '0ZZ00000000000417', unitNumber: 'Y-7', matchedBy: 'serial-number', taken: 1 },
      { serialNumber: 'TB-9', make: 'Tollbrook', unitNumber: 'T-9', matchedBy: 'serial-number', taken: 1 },
      { serialNumber: 'TB-10', unitNumber: null, matchedBy: null, taken: 0 },
    ]);
    expect(await sources.machines(id, '?state=unknown')).toHaveLength(1);
    expect(await sources.readings(byVin)).toEqual(['182004.5 km, 8412.4 h, accepted']);
    expect(await sources.readings(bySerial)).toEqual(['1609.3 km, 120 h, accepted']);
    const faults = (await fleet.dashboard.get('/v1/faults')).body.items;
    expect(faults).toMatchObject([{ code: 'SPN 110 FMI 0', unitNumber: 'T-9', reportedBy: ['source'] }]);
    // The link to the second page leads to another server.
    expect(await sources.get(id)).toMatchObject({
      ...{ state: 'failing', lagMinutes: 40 },
      failure: { code: 'poll-next-elsewhere', values: { host: 'telematics.invalid' } },
      lastIntake: { pages: 1, machines: 3, unknown: 1, taken: 2, held: 0, faults: 1 },
    });
    expect(await differences()).toEqual([]);
  });

  it('reads ten thousand machines page by page', async () => {
    server.machines = machinesOf(10_000);
    server.givesRelativeLinks = true;
    const vehicleId = await sources.vehicle({ unitNumber: 'Last', serialNumber: vinOf(9999) });
    const id = await sources.add(snapshot());
    expect(await sources.get(id)).toMatchObject({
      ...{ state: 'working', failure: null },
      lastIntake: { pages: 100, machines: 10_000, unknown: 9999, taken: 1 },
    });
    expect(await sources.readings(vehicleId)).toEqual(['124992.5 km, 3499.8 h, accepted']);
  }, 120_000);

  it('writes no reading for a value that stands still, and one a day', async () => {
    server.machines = machinesOf(1);
    const vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(0) });
    const id = await sources.add(snapshot());
    for (let hour = 1; hour <= 25; hour += 1) {
      moveHours(1);
      move(0, service.clock.now().toISOString(), {});
      const { lastIntake } = await sources.poll(id);
      expect(lastIntake).toMatchObject(
        hour === 24 ? { taken: 1, passedOver: 0 } : { taken: 0, passedOver: 1 },
      );
    }
    expect(await sources.readings(vehicleId)).toHaveLength(2);
  }, 60_000);

  it('holds a counter that went back, and believes a new device after a day', async () => {
    server.machines = machinesOf(1);
    const vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(0) });
    const id = await sources.add(snapshot());
    for (const [km, hours] of [
      [50_200, 24],
      [50_400, 24],
      [12, 2],
      [50, 7],
      [190, 25],
    ] as const) {
      moveHours(hours);
      move(0, service.clock.now().toISOString(), { odometerKm: km, engineHours: null });
      await sources.poll(id);
    }
    expect(await sources.readings(vehicleId)).toEqual([
      '50000 km, 1000 h, accepted',
      '50200 km, null h, accepted',
      '50400 km, null h, accepted',
      '12 km, null h, held',
      '50 km, null h, held',
      '190 km, null h, accepted',
    ]);
    expect((await sources.machines(id))[0]).toMatchObject({ taken: 4, held: 2 });
    expect(await differences()).toEqual([]);
  });

  it('refuses a value without a unit and one ahead of the clock, and takes the rest', async () => {
    server.machines = [
      { ...machineOf(0), odometerUnits: null },
      machineOf(1, '2026-04-02T18:00:00Z'),
      machineOf(2),
    ];
    const vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(0) });
    const id = await sources.add(snapshot());
    expect(await sources.readings(vehicleId)).toEqual(['null km, 1000 h, accepted']);
    const { lastIntake } = await sources.get(id);
    expect(lastIntake.refusals.map(({ machine, why }: any) => `${machine} ${why.code}`)).toEqual([
      `${vinOf(0)} telematics-unit-missing`,
      `${vinOf(1)} source-value-ahead`,
      `${vinOf(1)} source-value-ahead`,
    ]);
  });

  it('tells that a machine is there twice, and takes the first value of two', async () => {
    const vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: 'TB-9' });
    server.always = xml('iso-duplicate.xml');
    const id = await sources.add(snapshot());
    expect(await sources.get(id)).toMatchObject({
      lastIntake: {
        ...{ machines: 1, repeated: 1, taken: 1, refused: 1 },
        refusals: [{ machine: 'TB-9', why: { code: 'source-two-values' } }],
      },
    });
    expect(await sources.readings(vehicleId)).toEqual(['null km, 120 h, accepted']);
  });

  it('follows one of two machines that are the same vehicle', async () => {
    const vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(0) });
    server.machines = [machineOf(0), { ...machineOf(0), vin: null, serialNumber: vinOf(0), odometerKm: 7 }];
    const id = await sources.add(snapshot());
    expect(await sources.machines(id)).toMatchObject([
      { beside: false, taken: 1 },
      { beside: true, taken: 0 },
    ]);
    expect(await sources.machines(id, '?state=beside')).toHaveLength(1);
    expect(await sources.readings(vehicleId)).toEqual(['50000 km, 1000 h, accepted']);
  });

  it('signs in with a password, and with a token that it renews once when it has expired', async () => {
    server.machines = machinesOf(1);
    server.login = { kind: 'basic', user: 'yard', password: 'p:ä' };
    const basic = { kind: 'basic', userName: 'yard', secret: 'p:ä' };
    const id = await sources.add({ ...snapshot(), signIn: basic });
    expect(await sources.get(id)).toMatchObject({
      state: 'working',
      signIn: { kind: 'basic', userName: 'yard', hasSecret: true },
    });
    server.login = { kind: 'basic', user: 'yard', password: 'another' };
    expect(await sources.poll(id)).toMatchObject({
      state: 'failing',
      failure: { code: 'poll-sign-in-refused', values: { status: 401 } },
    });

    server.login = {
      kind: 'client-credentials',
      clientId: 'fleet',
      clientSecret: 's',
      expiresInSeconds: 900,
    };
    const oauth2 = { kind: 'oauth2', userName: 'fleet', secret: 's', tokenAddress: `${server.url}/token` };
    const other = await sources.add({ ...snapshot(), signIn: oauth2 });
    expect(await sources.get(other)).toMatchObject({ state: 'working' });
    await sources.poll(other);
    expect(server.tokensIssued).toBe(1);
    server.revokeTokens();
    expect(await sources.poll(other)).toMatchObject({ state: 'working' });
    expect(server.tokensIssued).toBe(2);
    server.login = { ...server.login, clientSecret: 'changed' };
    server.revokeTokens();
    expect(await sources.poll(other)).toMatchObject({
      state: 'failing',
      failure: {
        code: 'poll-token-not-given',
        text: 'No access token: The source answered with status 400.',
      },
    });
  });

  it('waits as long as it is asked to, and goes on at the page where it had to stop', async () => {
    server.machines = machinesOf(300);
    server.next.push(answers(500));
    const begun = await sources.add(snapshot());
    expect(await sources.get(begun)).toMatchObject({
      failure: { code: 'poll-answered', values: { status: 500 } },
    });
    server.requests.length = 0;
    const passes = (reply: any): void => reply.writeHead(200, {}).end(JSON.stringify(page(1, 2)));
    const page = (from: number, next: number): object => ({
      Links: [{ rel: 'next', href: `/Fleet/${next}` }],
      Equipment: [{ EquipmentHeader: { SerialNumber: `S-${from}` } }],
    });
    server.next.push(passes, tooManyRequests('1800'));
    const state = await sources.poll(begun);
    expect(state).toMatchObject({ state: 'failing', failure: { code: 'poll-asked-to-wait' } });
    const waitMs = Date.parse(state.nextPollAt) - Date.parse(NOW);
    expect(waitMs).toBeGreaterThanOrEqual(1_800_000);
    expect(waitMs).toBeLessThanOrEqual(1_800_000 * 1.25);
    // Nobody shortens that wait.
    const asked = await fleet.manager.post(`/v1/telematics-sources/${begun}/poll`);
    expect([asked.status, asked.body.nextPollAt]).toEqual([200, state.nextPollAt]);
    service.clock.moveTo(state.nextPollAt);
    // The worker finds by itself that the time has come.
    expect(await sources.untilPolled(begun)).toMatchObject({ state: 'working', failure: null });
    expect(server.requests.map(({ path }) => path)).toEqual(['/Fleet/1', '/Fleet/2', '/Fleet/2', '/Fleet/3']);
  });

  it('stops when the rate limit of the source is used up, and goes on when it is reset', async () => {
    server.machines = machinesOf(200);
    server.headers = { 'x-rate-limit-remaining': '0', 'x-rate-limit-reset': '120' };
    const id = await sources.add(snapshot());
    const state = await sources.get(id);
    expect(state).toMatchObject({ state: 'working', lastIntake: { pages: 1 } });
    expect(Date.parse(state.nextPollAt) - Date.parse(NOW)).toBe(120_000);
    service.clock.moveTo(state.nextPollAt);
    await sources.untilPolled(id);
    expect(server.requests.map(({ path }) => path)).toEqual(['/Fleet/1', '/Fleet/2']);
  });

  it.each([
    ['hangs', () => hangs, 'poll-too-slow'],
    ['never ends its answer', () => drips, 'poll-too-slow'],
    // Which of the two limits it reaches first depends on the machine.
    ['sends without end', () => floods, expect.stringMatching(/^poll-too-(large|slow)$/)],
    ['sends a page that is too large', () => announces(17 * MIB), 'poll-too-large'],
    ['breaks off', () => breaksOff, 'attempt-not-made'],
    ['redirects', () => redirectsTo('http://169.254.169.254/'), 'poll-redirected'],
    ['sends something else', () => answers(200, '<html>', 'text/html'), 'poll-unreadable'],
    ['refuses', () => answers(403), 'poll-sign-in-refused'],
  ])('says why it fails at a server that %s, and tries again later', async (_what, misbehaves, code) => {
    server.always = misbehaves();
    const id = await sources.add(snapshot());
    const state = await sources.get(id);
    expect(state).toMatchObject({
      state: 'failing',
      failure: { code },
      failingSince: NOW.replace('Z', '.000Z'),
    });
    const waitMs = Date.parse(state.nextPollAt) - Date.parse(NOW);
    expect(waitMs).toBeGreaterThanOrEqual(60_000);
    expect(waitMs).toBeLessThanOrEqual(75_000);
    const again = await sources.poll(id);
    expect(Date.parse(again.nextPollAt) - Date.parse(NOW)).toBeGreaterThanOrEqual(120_000);
  });

  it('notices pages that lead in a circle', async () => {
    server.machines = machinesOf(1);
    server.loopsLinks = true;
    const id = await sources.add(snapshot());
    expect(await sources.get(id)).toMatchObject({
      failure: { code: 'poll-pages-repeat' },
      lastIntake: { pages: 1 },
    });
  });

  it('polls the other sources while one hangs', async () => {
    server.always = hangs;
    const fast = await startTelematicsServer({ machines: machinesOf(1) });
    const address = `${fast.url}/Fleet/1`;
    const slow = await fleet.manager.post('/v1/telematics-sources', { name: 'Slow', ...snapshot() });
    const id = await sources.add({ kind: 'iso-15143-3', address });
    expect(await sources.get(id)).toMatchObject({ state: 'working' });
    expect(await sources.get(slow.body.id)).toMatchObject({ state: 'polling' });
    await sources.untilPolled(slow.body.id);
    await fast.close();
  });

  it('asks for the fault codes of known machines, if the source is set so', async () => {
    server.machines = machinesOf(3);
    server.pageSize = 2;
    const at = '2026-04-01T10:00:00Z';
    move(1, '2026-04-02T15:20:00Z', { faults: [{ at, identifier: '110-0', source: 'J1939' }] });
    await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(1) });
    const id = await sources.add({ ...snapshot(), withFaults: true });
    expect(server.requests.map(({ path }) => path)).toEqual([
      ...['/Fleet/1', '/Fleet/2'],
      `/Fleet/Equipment/ID/${vinOf(1)}/Faults/2026-03-19T16:00:00Z/2026-04-02T16:00:00Z/1`,
    ]);
    expect((await fleet.dashboard.get('/v1/faults')).body.items).toMatchObject([{ code: 'SPN 110 FMI 0' }]);
    moveHours(1);
    expect(await sources.poll(id)).toMatchObject({ state: 'working' });
    expect(server.requests.at(-1)?.path).toMatch('/Faults/2026-04-02T16:00:00Z/2026-04-02T17:00:00Z/1');
  });

  it('reads rFMS: first the latest status of each vehicle, then what has arrived since', async () => {
    server.machines = machinesOf(5);
    server.pageSize = 2;
    server.givesRfmsLinks = false;
    move(3, '2026-04-02T15:20:00Z', { lamps: { ENGINE_COOLANT_TEMPERATURE: 'RED' } });
    await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(3) });
    const id = await sources.add({ kind: 'rfms-4', address: `${server.url}/rfms/vehiclestatuses` });
    expect(server.requests.map(({ path }) => path)).toEqual([
      '/rfms/vehiclestatuses?latestOnly=true',
      `/rfms/vehiclestatuses?latestOnly=true&lastVin=${vinOf(1)}`,
      `/rfms/vehiclestatuses?latestOnly=true&lastVin=${vinOf(3)}`,
    ]);
    expect(server.requests[0]?.accept).toBe('application/json; rfms=vehiclestatuses.v4.0');
    expect(await sources.get(id)).toMatchObject({
      lastIntake: { machines: 5, unknown: 4, taken: 1, faults: 2 },
    });
    expect((await fleet.dashboard.get('/v1/faults')).body.items).toMatchObject([{ code: 'SPN 110 FMI 0' }]);
    moveHours(1);
    await sources.poll(id);
    expect(server.requests[3]?.path).toBe(
      '/rfms/vehiclestatuses?datetype=received&starttime=2026-04-02T15%3A30%3A00.000Z',
    );
  });

  it('leaves a source alone that is paused or removed, and one that another worker polls', async () => {
    server.machines = machinesOf(1);
    const id = await sources.add(snapshot());
    const polls = server.requests.length;
    await fleet.manager.patch(`/v1/telematics-sources/${id}`, { paused: true });
    moveHours(10);
    const refused = await fleet.manager.post(`/v1/telematics-sources/${id}/poll`);
    expect([refused.status, refused.body.values ?? refused.body.code]).toEqual([409, {}]);
    await fleet.manager.patch(`/v1/telematics-sources/${id}`, { paused: false });
    await until(() => server.requests.length === polls + 1);
    await sources.untilPolled(id);
    await service.database.admin.query(
      `update telematics_sources set polled_until = $2, next_poll_at = $3 where id = $1`,
      [id, new Date(service.clock.now().getTime() + 60_000), service.clock.now()],
    );
    await new Promise((resolve) => setTimeout(resolve, 2500));
    expect(server.requests).toHaveLength(polls + 1);
    // That worker has died: its lease ends.
    moveHours(1);
    await until(() => server.requests.length === polls + 2);
    await sources.untilPolled(id);
  });
});
