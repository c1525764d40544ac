import { v7 as uuidv7 } from 'uuid';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { type Client, clientOf } from '../../support/client.js';
import { picture } from '../../support/pictures.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const NOW = '2026-04-02T20:00:00Z';
const LEAK = {
  ...{ unitNumber: 'R-12', reportedAt: '2026-04-02T14:00:00Z', reportedBy: 'Ada Pike' },
  ...{ source: 'driver', what: 'Coolant on the ground <under the pump>' },
};
const TRIAGE = { decidedBy: 'badge 7', component: 'water-pump', action: 'replace', vehicleStays: true };
const DISMISS = { decidedBy: 'badge 7', reason: 'It is water of the air conditioning' };
const REPAIR = { performedAt: '2026-04-02T19:00:00Z', performedBy: 'badge 9', releasedForService: 'yes' };

describe('defects', () => {
  let service: Service;
  let fleet: FleetHandle;
  let driver: Client;
  let vehicleId: string;
  let depotId: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    ({ vehicleId, depotId } = await postScenario(fleet, { unitNumber: 'R-12' }));
    driver = await driverOf();
  });

  async function driverOf(extra: object = {}): Promise<Client> {
    const { body } = await fleet.manager.post('/v1/tokens', { name: 'phone', role: 'driver', ...extra });
    return clientOf(service.url, body.token);
  }

  async function post(extra: object = {}, client: Client = driver): Promise<any> {
    const { status, body } = await client.post('/v1/defects', { ...LEAK, ...extra });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body;
  }
  const triage = (id: string, extra: object = {}) =>
    fleet.mechanic.post(`/v1/defects/${id}/triage`, { ...TRIAGE, ...extra });
  const repair = (extra: object = {}) =>
    fleet.mechanic.post('/v1/job-reports', { vehicleId, ...REPAIR, ...extra });
  const followUps = async (): Promise<any[]> => {
    const { body } = await fleet.dashboard.get(
      `/v1/due-list?vehicleId=${vehicleId}&state=late,due,window,not-due`,
    );
    return body.items.filter(({ origin }: any) => origin === 'follow-up');
  };
  const lines = async (): Promise<string[]> =>
    (await followUps()).map(
      ({ component, action, atOnce, dueOn }) => `${component}/${action} ${atOnce ? 'at once' : dueOn}`,
    );
  async function differences(): Promise<string[]> {
    const { url: databaseUrl } = service.database;
    const found = await rebuildAll({ databaseUrl, schema, clock: service.clock, fleetIds: [fleet.fleetId] });
    return found.differences.map(({ what }) => what);
  }

  it('are reported by a driver, and are on the due list at once in the words of the driver', async () => {
    const defect = await post({ odometer: { value: 9010, unit: 'mi' } });
    expect(defect).toMatchObject({
      ...{ vehicleId, unitNumber: 'R-12', state: 'reported', what: LEAK.what, reportedBy: 'Ada Pike' },
      ...{ source: 'driver', certificate: null, decisions: [], attachments: [] },
      odometer: { value: 9010, unit: 'mi' },
      driving: { decision: 'undecided', decidedBy: null, at: null },
      followUps: [{ component: 'other', action: 'inspect', atOnce: true, dueOn: '2026-04-02' }],
    });
    expect(defect.driving.message.text).toMatch(/^Do not drive\./);
    expect(defect.cautions.map(({ code }: any) => code)).toEqual(['caution-hot-system', 'caution-maker']);
    const [line] = await followUps();
    expect(line).toMatchObject({ id: defect.followUps[0].id, state: 'due', atOnce: true });
    expect(line.causes.map(({ text }: any) => text)).toEqual([
      'A defect was reported. Look at it before anyone drives the vehicle, then decide: have it repaired, or dismiss it with the reason.',
      `A driver reported: “${LEAK.what}”`,
    ]);
    // What the driver read counts for nothing else.
    const usage = await fleet.manager.get(`/v1/vehicles/${vehicleId}/usage`);
    expect(JSON.stringify(usage.body)).not.toContain('9010');
    expect(await differences()).toEqual([]);
  });

  it('are taken up: the driver sees by whom, and that the vehicle stays', async () => {
    const { id } = await post({ component: 'radiator' });
    expect(await lines()).toEqual(['radiator/inspect at once']);
    expect((await triage(id)).status).toBe(200);
    expect(await lines()).toEqual(['water-pump/replace at once']);
    const { body } = await driver.get(`/v1/defects/${id}`);
    expect(body).toMatchObject({
      ...{ state: 'triaged', certificate: null },
      driving: { decision: 'stays', decidedBy: 'badge 7', at: '2026-04-02T20:00:00.000Z' },
      decisions: [{ kind: 'triage', component: 'water-pump', action: 'replace', vehicleStays: true }],
    });
    expect(body.driving.message.text).toBe(
      'Do not drive. The vehicle stays parked until the defect is repaired.',
    );
    expect(await differences()).toEqual([]);
  });

  it('can be set for a day, with which the line becomes due and a week later late', async () => {
    const { id } = await post();
    expect((await triage(id, { dueOn: '2026-04-20', vehicleStays: false })).body.driving.decision).toBe(
      'not-held',
    );
    expect(await followUps()).toMatchObject([{ dueOn: '2026-04-20', state: 'not-due', atOnce: false }]);
    service.clock.moveTo('2026-04-06T20:00:00Z');
    expect(await followUps()).toMatchObject([{ state: 'window' }]);
    service.clock.moveTo('2026-04-27T20:00:00Z');
    expect(await followUps()).toMatchObject([{ state: 'late' }]);
    // The last decision counts.
    await triage(id, { dueOn: null });
    expect(await lines()).toEqual(['water-pump/replace at once']);
    expect(await differences()).toEqual([]);
  });

  it.each([
    ['names them', (id: string) => ({ repairedDefects: [id] })],
    ['does the work', () => ({ lines: [{ component: 'water-pump', action: 'replace' }] })],
  ])('are repaired by a report that %s, and open again when it is voided', async (_, content) => {
    const { id } = await post();
    await triage(id);
    const report = await repair(content(id));
    expect([report.status, inText(report.body.errors)]).toEqual([201, undefined]);
    const { body } = await driver.get(`/v1/defects/${id}`);
    expect(body).toMatchObject({
      ...{ state: 'repaired', followUps: [], cautions: [] },
      certificate: {
        ...{ outcome: 'repaired', certifiedBy: 'badge 9', at: '2026-04-02T19:00:00.000Z' },
        ...{ jobReportId: report.body.id, reason: null },
      },
    });
    expect((await lines()).filter((line) => line.startsWith('water-pump'))).toEqual([]);
    expect((await triage(id)).body).toMatchObject({ status: 409, type: '/problems/already-repaired' });
    expect(await differences()).toEqual([]);
    await fleet.manager.post(`/v1/job-reports/${report.body.id}/void`, { reason: 'another vehicle' });
    expect((await driver.get(`/v1/defects/${id}`)).body).toMatchObject({
      state: 'triaged',
      certificate: null,
    });
    expect(await lines()).toEqual(['water-pump/replace at once']);
    expect(await differences()).toEqual([]);
  });

  it('are decided on once, however often a phone sends the same', async () => {
    const id = (await post()).id;
    for (const _again of [1, 2, 3]) expect((await triage(id)).status).toBe(200);
    const { body } = await fleet.manager.get(`/v1/defects/${id}`);
    expect(body.decisions).toHaveLength(1);
    expect((await triage(id, { vehicleStays: false })).body.decisions).toHaveLength(2);
  });

  it('are dismissed with a reason, which is kept as the certificate, and can be triaged after all', async () => {
    const { id } = await post();
    const dismissed = await fleet.manager.post(`/v1/defects/${id}/dismiss`, DISMISS);
    expect(dismissed.body).toMatchObject({
      ...{ state: 'dismissed', followUps: [] },
      certificate: { outcome: 'repair-unnecessary', certifiedBy: 'badge 7', reason: DISMISS.reason },
      driving: { decision: 'not-held', decidedBy: 'badge 7' },
    });
    expect(await lines()).toEqual([]);
    const again = await fleet.manager.post(`/v1/defects/${id}/dismiss`, DISMISS);
    expect([again.status, again.body.decisions.length]).toEqual([200, 1]);
    const other = await fleet.manager.post(`/v1/defects/${id}/dismiss`, { ...DISMISS, reason: 'no need' });
    expect([other.status, other.body.type]).toEqual([409, '/problems/already-dismissed']);
    expect((await triage(id)).body.decisions.map(({ kind }: any) => kind)).toEqual(['dismiss', 'triage']);
    expect(await lines()).toEqual(['water-pump/replace at once']);
    expect(await differences()).toEqual([]);
  });

  it('lead to the same in whatever order report, decision and repair arrive', async () => {
    const outcomes: unknown[] = [];
    const steps = [0, 1, 2];
    for (const order of [steps, [1, 0, 2], [2, 1, 0]]) {
      const id = (await fleet.manager.post('/v1/vehicles', { unitNumber: `O-${outcomes.length}` })).body.id;
      const defect = { unitNumber: undefined, vehicleId: id };
      const { id: first } = await post({ ...defect, component: 'radiator' });
      const acts = [
        () => post({ ...defect, what: 'Steam', reportedAt: '2026-04-02T13:00:00Z' }),
        () => triage(first, { component: 'radiator', action: 'replace' }),
        () =>
          repair({
            vehicleId: id,
            lines: [{ component: 'radiator', action: 'replace' }],
            performedAt: '2026-04-02T15:00:00Z',
          }),
      ];
      for (const step of order) await acts[step]?.();
      const { body } = await fleet.manager.get(`/v1/defects?vehicleId=${id}`);
      const due = await fleet.manager.get(`/v1/due-list?vehicleId=${id}&state=late,due,window,not-due`);
      outcomes.push([
        body.items.map(({ state, what }: any) => [state, what]),
        due.body.items.map(({ component, action, dueOn, causes }: any) => [component, action, dueOn, causes]),
      ]);
    }
    expect(outcomes[1]).toEqual(outcomes[0]);
    expect(outcomes[2]).toEqual(outcomes[0]);
    expect(await differences()).toEqual([]);
  });

  it('are one, however often a phone sends the same', async () => {
    const id = uuidv7();
    const first = await post({ id });
    const again = await driver.post('/v1/defects', { ...LEAK, id });
    expect([again.status, again.body]).toEqual([200, first]);
    const other = await driver.post('/v1/defects', { ...LEAK, id, what: 'Belt squeals' });
    expect([other.status, other.body.type]).toEqual([409, '/problems/defect-id-taken']);
    expect((await driver.get('/v1/defects')).body.items).toHaveLength(1);
  });

  it('can be sent together, each answered by itself', async () => {
    const { status, body } = await driver.post('/v1/defects/batch', {
      defects: [LEAK, { ...LEAK, unitNumber: 'none' }, { ...LEAK, what: '' }],
    });
    expect([status, body.results.map((each: any) => each.status)]).toEqual([200, [201, 422, 422]]);
    expect(body.results[1].problem.errors[0].pointer).toBe('/defects/1/unitNumber');
    expect(body.results[2].problem.errors[0].pointer).toBe('/defects/2/what');
  });

  it.each([
    ['/reportedAt', { reportedAt: '2026-04-03T20:00:00Z' }, /ahead of the time here/],
    ['/vehicleId', { unitNumber: null }, /Name the vehicle/],
    ['/unitNumber', { unitNumber: 'X-1' }, /no vehicle X-1/],
    ['/vehicleId', { vehicleId: uuidv7() }, /no vehicle/],
    ['/source', { source: 'mechanic' }, /only report with the source driver/],
    ['/what', { what: ' ' }, /./],
    ['/component', { component: 'wheel' }, /./],
  ])('are refused with the field: %s of %j', async (pointer, extra, detail) => {
    const { status, body } = await driver.post('/v1/defects', { ...LEAK, ...extra });
    expect([status, body.errors?.[0]?.pointer]).toEqual([422, pointer]);
    expect(body.errors[0].detail).toMatch(detail);
  });

  it('are decided on with a day that is ahead, and a belt that the vehicle has', async () => {
    const { id } = await post();
    for (const [pointer, extra] of [
      ['/dueOn', { dueOn: '2026-04-01' }],
      ['/dueOn', { dueOn: '2027-04-03' }],
      ['/item', { component: 'drive-belt', item: 'no such belt' }],
      ['/vehicleStays', { vehicleStays: undefined }],
      ['/decidedBy', { decidedBy: undefined }],
    ] as const) {
      const { status, body } = await triage(id, extra);
      expect([status, body.errors?.[0]?.pointer]).toEqual([422, pointer]);
    }
  });

  it('are named as repaired only where the vehicle has them, by somebody who says who it was', async () => {
    const { id } = await post();
    const unknown = await repair({ repairedDefects: [uuidv7()] });
    expect([unknown.status, unknown.body.errors[0].pointer]).toEqual([422, '/repairedDefects/0']);
    const unsigned = await repair({ repairedDefects: [id], performedBy: null });
    expect([unsigned.status, unsigned.body.errors[0].pointer]).toEqual([422, '/performedBy']);
    const batch = await fleet.mechanic.post('/v1/job-reports/batch', {
      reports: [
        {
          vehicleId,
          ...REPAIR,
          lines: [{ component: 'other', action: 'inspect' }],
          repairedDefects: [id, uuidv7()],
        },
      ],
    });
    const { report, status } = batch.body.results[0];
    expect([status, report.repairedDefects]).toEqual([201, [id]]);
    expect(report.outcome.held.map(({ pointer }: any) => pointer)).toEqual(['/repairedDefects/1']);
    expect((await fleet.manager.get(`/v1/job-reports/${report.id}`)).body.repairedDefects).toEqual([id]);
  });

  it('have photos, which whoever sees the defect sees', async () => {
    const { id } = await post();
    const photo = await picture('jpeg');
    const path = `/v1/defects/${id}/attachments`;
    const sent = await driver.send('POST', path, photo, { 'content-type': 'image/jpeg' });
    expect(sent).toMatchObject({ status: 201, body: { defectId: id, jobReportId: null } });
    expect(sent.body.href).toBe(`${path}/${sent.body.id}`);
    const again = await driver.send('POST', path, photo, { 'content-type': 'image/jpeg' });
    expect([again.status, again.body.id]).toEqual([200, sent.body.id]);
    expect((await fleet.dashboard.get(`/v1/defects/${id}`)).body.attachments).toHaveLength(1);
    expect((await driver.get(sent.body.href)).status).toBe(200);
    const report = await repair({ lines: [{ component: 'other', action: 'inspect' }] });
    const elsewhere = `/v1/job-reports/${report.body.id}/attachments/${sent.body.id}`;
    expect((await fleet.manager.get(elsewhere)).status).toBe(404);
    expect((await driver.post(`${sent.body.href}/void`, { reason: 'a face' })).status).toBe(403);
    expect((await fleet.manager.post(`${sent.body.href}/void`, { reason: 'a face' })).status).toBe(200);
    expect((await driver.get(sent.body.href)).status).toBe(410);
  });

  it('are shown to a driver who reported them, and to others while they are open', async () => {
    const { id } = await post();
    const other = await driverOf();
    const idsSeen = async (client: Client, query = ''): Promise<string[]> =>
      (await client.get(`/v1/defects${query}`)).body.items.map((item: any) => item.id);
    expect([await idsSeen(driver), await idsSeen(other)]).toEqual([[id], []]);
    expect(await idsSeen(other, '?unitNumber=R-12&state=open')).toEqual([id]);
    expect((await other.get(`/v1/defects/${id}`)).status).toBe(200);
    await fleet.manager.post(`/v1/defects/${id}/dismiss`, DISMISS);
    expect(await idsSeen(other, `?vehicleId=${vehicleId}`)).toEqual([]);
    expect((await other.get(`/v1/defects/${id}`)).status).toBe(404);
    expect((await other.get(`/v1/defects/${id}/attachments`)).status).toBe(404);
    expect(await idsSeen(driver, `?vehicleId=${vehicleId}`)).toEqual([id]);
    expect((await driver.get(`/v1/defects/${id}`)).body.state).toBe('dismissed');
  });

  it('of other depots are out of reach of a token bound to one', async () => {
    const elsewhere = (await fleet.manager.post('/v1/depots', { name: 'Elsewhere' })).body.id;
    const bound = await driverOf({ depotIds: [elsewhere] });
    const own = await driverOf({ depotIds: [depotId] });
    const { id } = await post({}, own);
    expect((await bound.get(`/v1/defects/${id}`)).status).toBe(404);
    expect((await bound.post('/v1/defects', LEAK)).status).toBe(422);
    expect((await own.get(`/v1/defects/${id}`)).status).toBe(200);
    const sent = await own.send('POST', `/v1/defects/${id}/attachments`, await picture('png'), {
      'content-type': 'image/png',
    });
    expect([sent.status, (await own.get(sent.body.href)).status]).toEqual([201, 200]);
    expect((await bound.get(sent.body.href)).status).toBe(404);
  });

  it('are listed by state and depot, latest first, in pages', async () => {
    const ids: string[] = [];
    for (const hour of [10, 11, 12])
      ids.unshift((await post({ reportedAt: `2026-04-02T${hour}:00:00Z` })).id);
    await triage(ids[1] ?? '');
    await fleet.manager.post(`/v1/defects/${ids[2]}/dismiss`, DISMISS);
    const seen = async (query: string): Promise<string[]> =>
      (await fleet.dashboard.get(`/v1/defects?${query}`)).body.items.map((item: any) => item.id);
    expect(await seen(`depotId=${depotId}`)).toEqual(ids);
    expect(await seen('state=open')).toEqual(ids.slice(0, 2));
    expect(await seen('state=triaged')).toEqual([ids[1]]);
    expect(await seen('state=dismissed')).toEqual([ids[2]]);
    const { body } = await fleet.dashboard.get('/v1/defects?limit=2');
    expect(await seen(`limit=2&cursor=${body.next}`)).toEqual([ids[2]]);
  });

  it('are on the job card and its page while they are open, those that hold the vehicle first', async () => {
    const held = await post();
    const free = await post({ what: 'Belt squeals', source: 'mechanic' }, fleet.mechanic);
    await triage(free.id, { vehicleStays: false, dueOn: '2026-04-20' });
    await fleet.manager.post(`/v1/defects/${(await post({ what: 'Rattles' })).id}/dismiss`, DISMISS);
    const { body } = await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card`);
    expect(body.defects).toEqual([
      {
        ...{ id: held.id, what: LEAK.what, source: 'driver', state: 'reported', dueOn: null },
        ...{ reportedAt: '2026-04-02T14:00:00.000Z', driving: 'undecided' },
      },
      {
        ...{ id: free.id, what: 'Belt squeals', source: 'mechanic', state: 'triaged', dueOn: '2026-04-20' },
        ...{ reportedAt: '2026-04-02T14:00:00.000Z', driving: 'not-held' },
      },
    ]);
    const page = await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?format=html`);
    const words = String(page.body);
    expect(words).toContain('Reported defects');
    expect(words).toContain('“Coolant on the ground &lt;under the pump&gt;” (driver)');
    expect(words).toContain('look at it before anyone drives the vehicle');
    expect(words).toContain('April 2, 2026; by April 20, 2026');
    expect(words).not.toContain('Rattles');
    expect(words).not.toContain('<under');
  });

  it('are in the history of the vehicle, with each decision', async () => {
    const { id } = await post();
    await triage(id);
    const report = await repair({ repairedDefects: [id] });
    const { body } = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/history`);
    const told = body.items.filter(({ what }: any) => what.startsWith('defect'));
    expect(told).toMatchObject([
      { what: 'defect-decision', defectId: id, kind: 'triage', decidedBy: 'badge 7', vehicleStays: true },
      {
        ...{ what: 'defect', id, source: 'driver', words: LEAK.what, reportedBy: 'Ada Pike' },
        ...{ state: 'repaired', jobReportId: report.body.id, at: '2026-04-02T14:00:00.000Z' },
      },
    ]);
  });

  it('keep their vehicle from being deleted', async () => {
    const { body } = await fleet.manager.post('/v1/vehicles', { unitNumber: 'D-1' });
    await post({ unitNumber: 'D-1' });
    expect((await fleet.manager.delete(`/v1/vehicles/${body.id}`)).status).toBe(409);
  });

  it('are a hundred at the most that are open on a vehicle', async () => {
    await service.database.admin.query(
      `insert into defects (fleet_id, id, vehicle_id, reported_at, source, what, content_hash)
       select $1, gen_random_uuid(), $2, now(), 'driver', 'x', '\\x00' from generate_series(1, 100)`,
      [fleet.fleetId, vehicleId],
    );
    const { status, body } = await driver.post('/v1/defects', LEAK);
    expect([status, body.type, body.limit, body.present]).toEqual([
      409,
      '/problems/too-many-defects',
      100,
      100,
    ]);
  });
});
