import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';
import { vinOf } from '../../support/telematics/machines.js';
import { recorded } from '../../support/telematics/recorded.js';
import { Sources } from '../../support/telematics/sources.js';

const NOW = '2026-04-02T16:00:00Z';
const SECRET = 'quite-secret-7391';
const POLLED = {
  ...{ name: 'Yard', kind: 'iso-15143-3', address: 'https://telematics.example.org/Fleet/1' },
  signIn: { kind: 'basic', userName: 'yard', secret: SECRET },
};

const TOO_MANY = 'telematics-too-many-values';
const ROOM = { FLEET_TELEMATICS_SOURCES: '3', FLEET_TELEMATICS_MACHINES: '20' };

describe('telematics sources', () => {
  let service: Service;
  let fleet: FleetHandle;
  let sources: Sources;

  beforeAll(async () => {
    service = await startService({ at: NOW, env: ROOM });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    sources = new Sources(service, fleet);
  });

  const post = (input: object) => fleet.manager.post('/v1/telematics-sources', input);
  const fieldsOf = ({ body }: { body: any }): string[] =>
    (body.errors ?? []).map(({ pointer, code }: any) => `${pointer} ${code}`);
  const tokenOf = async (input: object): Promise<Client> => {
    const { status, body } = await fleet.manager.post('/v1/tokens', { name: 'box', ...input });
    expect([status, body.errors]).toEqual([201, undefined]);
    return service.client(body.token);
  };

  it('are added, changed, listed and removed, and never show their secret', async () => {
    const { status, body } = await post(POLLED);
    expect(status).toBe(201);
    expect(body).toMatchObject({
      ...{ name: 'Yard', kind: 'iso-15143-3', everyMinutes: 60, state: 'waiting', version: 1 },
      signIn: { kind: 'basic', userName: 'yard', hasSecret: true },
    });
    const path = `/v1/telematics-sources/${body.id}`;
    const changed = await fleet.manager.patch(path, { everyMinutes: 15, paused: true });
    expect(changed.body).toMatchObject({ everyMinutes: 15, state: 'paused', version: 2, nextPollAt: null });
    const { rows } = await service.database.admin.query(
      'select secret from telematics_sources where id = $1',
      [body.id],
    );
    expect(rows).toEqual([{ secret: SECRET }]);
    const audit = await fleet.manager.get('/v1/audit?kind=telematics-source');
    expect(audit.body.items.map(({ action }: any) => action).toSorted()).toEqual(['changed', 'created']);
    const all = await fleet.manager.get('/v1/telematics-sources');
    expect(JSON.stringify([body, changed.body, audit.body, all.body])).not.toContain(SECRET);
    expect((await fleet.manager.delete(path)).status).toBe(204);
    expect((await fleet.manager.get(path)).status).toBe(404);
  });

  it('want the secret again when it would go to another server', async () => {
    const { body } = await post(POLLED);
    const path = `/v1/telematics-sources/${body.id}`;
    const address = 'https://elsewhere.example.org/Fleet/1';
    expect(fieldsOf(await fleet.manager.patch(path, { address }))).toEqual([
      '/signIn/secret source-secret-again',
    ]);
    const sameServer = 'https://telematics.example.org/other/1';
    expect((await fleet.manager.patch(path, { address: sameServer })).status).toBe(200);
    expect((await fleet.manager.patch(path, { address, signIn: { secret: SECRET } })).status).toBe(200);
  });

  it.each([
    [{ ...POLLED, address: undefined }, '/address source-field-needed'],
    [{ ...POLLED, address: 'ftp://telematics.example.org' }, '/address address-scheme'],
    [{ ...POLLED, address: 'https://169.254.169.254/Fleet' }, '/address address-leads-to'],
    [{ ...POLLED, signIn: { kind: 'basic', userName: 'yard' } }, '/signIn/secret source-field-needed'],
    [{ ...POLLED, signIn: { kind: 'bearer', secret: 's', scope: 'x' } }, '/signIn/scope source-field-unused'],
    [{ ...POLLED, kind: 'rfms-4', withFaults: true }, '/withFaults source-faults-only-iso'],
    [{ name: 'P', kind: 'push', everyMinutes: 5 }, '/everyMinutes source-field-unused'],
    [{ ...POLLED, everyMinutes: 1 }, '/everyMinutes field-out-of-range'],
  ])('are refused if they could not work: %#', async (input, fault) => {
    const answer = await post(input);
    expect([answer.status, ...fieldsOf(answer)]).toEqual([422, fault]);
  });

  it('want a sign-in that can be sent', async () => {
    const signIns: [object, string][] = [
      [{ kind: 'bearer', secret: 's€CRET' }, '/signIn/secret'],
      [{ kind: 'bearer', secret: 'two words' }, '/signIn/secret'],
      [{ kind: 'basic', userName: 'yard:1', secret: SECRET }, '/signIn/userName'],
    ];
    for (const [signIn, pointer] of signIns) {
      const { status, body } = await post({ ...POLLED, signIn });
      expect([status, body.errors?.map((one: any) => one.pointer)]).toEqual([422, [pointer]]);
    }
  });

  it('are as many as a fleet may have, each with its own name', async () => {
    await post(POLLED);
    expect((await post(POLLED)).body.type).toMatch(/name-taken$/);
    for (const name of ['B', 'C']) await post({ name, kind: 'push' });
    const { status, body } = await post({ name: 'D', kind: 'push' });
    expect([status, body.limit, body.present]).toEqual([409, 3, 3]);
    const other = await service.newFleet();
    expect((await other.manager.post('/v1/telematics-sources', POLLED)).status).toBe(201);
  });

  it('take pushed JSON from a telematics token, which can do nothing else', async () => {
    const vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(1) });
    const id = await sources.add({ name: 'Box', kind: 'push' });
    const path = `/v1/telematics-sources/${id}/reports`;
    const box = await tokenOf({ role: 'telematics', telematicsSourceId: id });
    const reports = {
      machines: [
        {
          vin: vinOf(1),
          readings: [
            { at: '2026-04-02T15:00:00Z', odometer: { value: 1000, unit: 'mi' } },
            { at: '2026-04-02T15:10:00Z', odometer: { value: 1001, unit: 'mi' } },
            { at: '2026-04-02T15:20:00Z', odometer: 5 },
          ],
          faults: [{ at: '2026-04-02T15:00:00Z', code: 'P0217' }],
        },
        {
          equipmentId: 'Yard 7',
          readings: [{ at: '2026-04-02T15:00:00Z', engineHours: { value: 7, unit: 'h' } }],
        },
      ],
    };
    const { status, body } = await box.post(path, reports);
    expect(status).toBe(200);
    expect(body).toMatchObject({
      ...{ machines: 2, unknown: 1, taken: 1, passedOver: 1, faults: 1, refused: 1 },
      refusals: [{ machine: vinOf(1), path: '/machines/0/readings/2/odometer' }],
    });
    expect(await sources.readings(vehicleId)).toEqual(['1609.3 km, null h, accepted']);
    expect(await sources.get(id)).toMatchObject({
      state: 'working',
      lagMinutes: 50,
      lastIntake: { machines: 2 },
    });

    expect((await box.get('/v1/vehicles')).status).toBe(403);
    expect((await box.get('/v1/telematics-sources')).status).toBe(403);
    expect((await fleet.mechanic.post(path, reports)).status).toBe(403);
    const other = await sources.add({ name: 'Other box', kind: 'push' });
    const elsewhere = await box.post(`/v1/telematics-sources/${other}/reports`, reports);
    expect([elsewhere.status, elsewhere.body.code]).toEqual([403, 'source-of-other-token']);
    await fleet.manager.delete(`/v1/telematics-sources/${id}`);
    expect((await box.post(path, reports)).status).toBe(401);
  });

  it('take pushed CSV, and say what is wrong with a file or a body that cannot be read', async () => {
    const id = await sources.add({ name: 'Box', kind: 'push' });
    const path = `/v1/telematics-sources/${id}/reports`;
    const send = (client: Client, text: string) =>
      client.send('POST', path, text, { 'content-type': 'text/csv' });
    const box = await tokenOf({ role: 'telematics' });
    const { status, body } = await send(box, Buffer.from(recorded('pushed.csv')).toString('utf8'));
    expect([status, body.machines, body.unknown, body.refused]).toEqual([200, 2, 2, 3]);
    expect((await send(fleet.mechanic, 'at,vin\n')).status).toBe(403);
    const broken = await send(box, 'vin,odometer_km\nA,1');
    expect([broken.status, ...fieldsOf(broken)]).toEqual([422, ' telematics-column-missing']);
    const large = await send(box, `at,vin\n${' '.repeat(5 * 1024 * 1024)}`);
    expect(large.status).toBe(413);
    const other = await box.post(path, { things: [] });
    expect([other.status, ...fieldsOf(other)]).toEqual([422, ' telematics-other-document']);
    const polled = await post(POLLED);
    const wrong = await box.post(`/v1/telematics-sources/${polled.body.id}/reports`, { machines: [] });
    expect(wrong.body.type).toMatch(/source-not-pushed$/);
  });

  it('take as many values in one post as the service has room for', async () => {
    const { body } = await post({ name: 'Box', kind: 'push' });
    const path = `/v1/telematics-sources/${body.id}/reports`;
    const row = '2026-04-02T15:00:00Z,S-1,7';
    const file = ['at,serial_number,engine_hours', ...Array.from({ length: 10_001 }, () => row)].join('\n');
    const csv = await fleet.manager.send('POST', path, file, { 'content-type': 'text/csv' });
    expect([csv.status, JSON.stringify(csv.body)]).toEqual([422, expect.stringContaining(TOO_MANY)]);
    const reading = { at: '2026-04-02T15:00:00Z', engineHours: { value: 7, unit: 'h' } };
    const machine = { serialNumber: 'S-1', readings: Array.from({ length: 5_001 }, () => reading) };
    const json = await fleet.manager.post(path, { machines: [machine, machine] });
    expect([json.status, JSON.stringify(json.body)]).toEqual([422, expect.stringContaining(TOO_MANY)]);
  });

  it('name as many machines as a fleet may have, and say which are left out', async () => {
    const { body } = await post({ name: 'Box', kind: 'push' });
    const path = `/v1/telematics-sources/${body.id}`;
    const machines = Array.from({ length: 23 }, (_, index) => ({ serialNumber: `S-${index + 1}` }));
    const taken = await fleet.manager.post(`${path}/reports`, { machines });
    expect([taken.status, taken.body.machines, taken.body.refused]).toEqual([200, 23, 3]);
    expect(taken.body.refusals[0]).toMatchObject({ machine: expect.stringContaining('S-21') });
    expect((await fleet.manager.get(`${path}/machines?limit=50`)).body.items).toHaveLength(20);
    // Those that are known are taken again.
    const again = await fleet.manager.post(`${path}/reports`, { machines: machines.slice(0, 20) });
    expect(again.body.refused).toBe(0);
  });

  it('let a manager say which vehicle a machine is', async () => {
    const id = await sources.add({ name: 'Box', kind: 'push' });
    const path = `/v1/telematics-sources/${id}`;
    const report = (at: string, value: number) =>
      fleet.manager.post(`${path}/reports`, {
        machines: [{ equipmentId: 'Yard 7', readings: [{ at, engineHours: { value, unit: 'h' } }] }],
      });
    await report('2026-04-01T15:00:00Z', 100);
    const [machine] = await sources.machines(id, '?state=unknown');
    const vehicleId = await sources.vehicle({ unitNumber: 'Loader' });
    const map = `${path}/machines/${machine.id}/map`;
    expect(fieldsOf(await fleet.manager.post(map, {}))).toEqual(['/vehicleId source-vehicle-needed']);
    expect(fieldsOf(await fleet.manager.post(map, { unitNumber: 'X' }))).toEqual([
      '/unitNumber no-such-record',
    ]);
    expect((await fleet.manager.post(map, { unitNumber: 'Loader' })).body).toMatchObject({
      ...{ vehicleId, unitNumber: 'Loader', matchedBy: 'mapping' },
    });
    expect((await report('2026-04-02T15:00:00Z', 108)).body).toMatchObject({ unknown: 0, taken: 1 });
    expect(await sources.readings(vehicleId)).toEqual(['null km, 108 h, accepted']);
    const audit = await fleet.manager.get('/v1/audit?kind=telematics-machine');
    expect(audit.body.items).toMatchObject([
      { action: 'changed', changes: { matchedBy: { to: 'mapping' } } },
    ]);
    expect((await fleet.manager.post(`${path}/machines/${machine.id}/unmap`)).body).toMatchObject({
      ...{ vehicleId: null, matchedBy: null },
    });
    // A vehicle with nothing on record can be deleted, whatever machine it was.
    const other = await sources.vehicle({ unitNumber: 'Other' });
    await fleet.manager.post(map, { vehicleId: other });
    expect((await fleet.manager.delete(`/v1/vehicles/${other}`)).status).toBe(204);
    expect(await sources.machines(id)).toMatchObject([{ vehicleId: null }]);
  });

  it('do not choose between two vehicles with one serial number, unless the make does', async () => {
    for (const [unitNumber, make] of [
      ['A', 'Tollbrook'],
      ['B', 'Fennimore'],
    ])
      await sources.vehicle({ unitNumber: unitNumber ?? '', serialNumber: 'S1', make });
    const id = await sources.add({ name: 'Box', kind: 'push' });
    const machines = [{ serialNumber: 'S1' }, { serialNumber: 'S1', make: 'fennimore' }];
    const { body } = await fleet.manager.post(`/v1/telematics-sources/${id}/reports`, { machines });
    expect(body).toMatchObject({ machines: 2, ambiguous: 1, unknown: 0 });
    expect(await sources.machines(id)).toMatchObject([
      { unitNumber: null, ambiguous: true },
      { unitNumber: 'B', ambiguous: false },
    ]);
  });

  it('bind tokens of the role telematics alone', async () => {
    const id = await sources.add({ name: 'Box', kind: 'push' });
    const issue = (input: object) => fleet.manager.post('/v1/tokens', { name: 't', ...input });
    expect(fieldsOf(await issue({ role: 'mechanic', telematicsSourceId: id }))).toEqual([
      '/telematicsSourceId token-source-needs-role',
    ]);
    expect(fieldsOf(await issue({ role: 'telematics', depotIds: [id] }))).toEqual([
      '/depotIds token-telematics-not-bound',
    ]);
    expect(fieldsOf(await issue({ role: 'telematics', telematicsSourceId: fleet.fleetId }))).toEqual([
      '/telematicsSourceId no-such-record',
    ]);
  });
});
