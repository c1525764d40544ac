import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import type { Client } from '../../support/client.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const NOW = '2026-04-02T20:00:00Z';
const HOT = 'SPN 110 FMI 0';

describe('faults', () => {
  let service: Service;
  let fleet: FleetHandle;
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
  });

  const postTo = (client: Client, ...faults: object[]) => client.post('/v1/faults', { faults });
  async function post(...faults: object[]): Promise<any[]> {
    const { status, body } = await postTo(
      fleet.mechanic,
      ...faults.map((fault) => ({ vehicleId, seenAt: '2026-04-02T12:00:00Z', ...fault })),
    );
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    return body.faults;
  }
  const list = async (query = '', client: Client = fleet.dashboard): Promise<any[]> => {
    const { status, body } = await client.get(`/v1/faults${query}`);
    expect([status, inText(body.errors)]).toEqual([200, undefined]);
    return body.items;
  };
  const lines = async (): Promise<any[]> =>
    (await fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due')).body.items.filter(
      (line: any) => line.origin === 'follow-up',
    );
  const kinds = async (): Promise<string[]> =>
    (await lines()).map(
      ({ component, action, atOnce }) => `${component}/${action}${atOnce ? ' at once' : ''}`,
    );
  async function read(takenAt: string, ...readings: object[]): Promise<void> {
    for (const reading of readings) {
      const answer = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, { takenAt, ...reading });
      expect([answer.status, inText(answer.body.errors)]).toEqual([201, undefined]);
    }
  }
  async function differences(): Promise<string[]> {
    const { url: databaseUrl } = service.database;
    const found = await rebuildAll({ databaseUrl, schema, clock: service.clock, fleetIds: [fleet.fleetId] });
    return found.differences.map(({ what }) => what);
  }

  const INSPECTION = [
    { kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true },
    { kind: 'level-check', level: 'at-max', engineCold: true },
    {
      kind: 'belt-check',
      item: 'accessory',
      ribsSeated: true,
      offset: { value: 0.3, unit: 'mm' },
      span: { value: 200, unit: 'mm' },
      wearGauge: 'ok',
    },
    {
      kind: 'warm-up-check',
      heatAtVents: true,
      fanCycled: true,
      thermostatOpened: true,
      temperatureSteady: true,
      leakSeen: false,
      levelAfterCooling: 'at-mark',
    },
    {
      kind: 'freeze-point',
      base: 'ethylene-glycol',
      scale: 'ethylene-glycol',
      method: 'refractometer',
      value: { value: -40, unit: 'C' },
    },
  ];

  it('of an overheating open its inspection at once, shown with what it means and where that is from', async () => {
    const [fault] = await post({ code: 'spn 110 fmi 0', occurrences: 2 });
    expect(fault).toMatchObject({
      ...{ vehicleId, unitNumber: 'R-12', code: HOT, spn: 110, fmi: 0, state: 'active', occurrences: 2 },
      ...{ firstSeenAt: '2026-04-02T12:00:00.000Z', goneAt: null, reportedBy: ['person'], voidedAt: null },
      meaning: { code: 'fault-overheated', text: 'The engine overheated' },
      source: { text: 'SAE J1939-71, SPN 110; SAE J1939-73, FMI 0' },
    });
    expect(
      fault.followUps.map((line: any) => [line.component, line.action, line.atOnce, line.dueOn]),
    ).toEqual([
      ['head-gasket', 'test', true, '2026-04-02'],
      ['coolant', 'inspect', true, '2026-04-02'],
    ]);
    expect(await kinds()).toEqual(['head-gasket/test at once', 'coolant/inspect at once']);
    const [gasket] = await lines();
    expect(gasket.causes.map(({ text }: any) => text)).toEqual([
      'The engine overheated. Let it cool, then do what is listed here before the vehicle goes out again.',
      'Head gasket: test for combustion gas, engine hot and under load.',
      'Fault codes from the vehicle: SPN 110 FMI 0.',
    ]);
    expect((await fleet.dashboard.get(`/v1/faults/${fault.id}`)).body).toEqual(fault);
    const card = await fleet.mechanic.get(
      `/v1/vehicles/${vehicleId}/job-card?lines=head-gasket:test,coolant:inspect`,
    );
    expect(card.status).toBe(200);
    expect(JSON.stringify(card.body)).toContain('Cap: test it, or fit a new one.');
    expect(card.body.cautions.map(({ code }: any) => code)).toEqual(
      expect.arrayContaining(['caution-hot-system', 'caution-maker']),
    );
    const page = await fleet.mechanic.get(
      `/v1/vehicles/${vehicleId}/job-card?lines=head-gasket:test,coolant:inspect`,
      { accept: 'text/html' },
    );
    expect(page.body).toContain('Belt: do a full belt check, or fit a new one.');
    expect(await differences()).toEqual([]);
  });

  it('are settled part by part by what was done after they were last seen', async () => {
    await post({ code: HOT });
    await read('2026-04-02T11:00:00Z', ...INSPECTION);
    expect(await kinds()).toEqual(['head-gasket/test at once', 'coolant/inspect at once']);
    await read('2026-04-02T14:00:00Z', ...INSPECTION);
    expect(await kinds()).toEqual(['coolant/inspect at once']);
    const [left] = await lines();
    expect(left.causes.map(({ code }: any) => code)).toEqual([
      ...['follow-up-engine-overheated', 'follow-up-inspect-cap', 'follow-up-fault-codes'],
    ]);
    const report = await fleet.mechanic.post('/v1/job-reports', {
      ...{
        vehicleId,
        performedAt: '2026-04-02T15:00:00Z',
        performedBy: 'Kim',
        lines: [{ component: 'radiator-cap', action: 'replace' }],
      },
    });
    expect(report.status).toBe(201);
    expect(await kinds()).toEqual([]);
    expect((await list())[0].followUps).toEqual([]);
    expect(await differences()).toEqual([]);
    // It comes back.
    await post({ code: HOT, seenAt: '2026-04-02T19:00:00Z' });
    expect(await kinds()).toEqual(['head-gasket/test at once', 'coolant/inspect at once']);
    expect(await list()).toHaveLength(1);
    expect(await differences()).toEqual([]);
  });

  it('join when they are seen again, stay when they go away, and are others when they come back', async () => {
    const [first] = await post({ code: 'SPN 111 FMI 1', seenAt: '2026-03-01T12:00:00Z' });
    const [again] = await post({ code: 'SPN 111 FMI 1', seenAt: '2026-03-10T12:00:00Z', occurrences: 5 });
    expect(again).toMatchObject({ id: first.id, lastSeenAt: '2026-03-10T12:00:00.000Z', occurrences: 5 });
    const [gone] = await post({ code: 'SPN 111 FMI 1', seenAt: '2026-03-11T12:00:00Z', active: false });
    expect(gone).toMatchObject({ id: first.id, state: 'gone', goneAt: '2026-03-11T12:00:00.000Z' });
    expect(await kinds()).toEqual(['coolant/inspect at once']);
    const [back] = await post({ code: 'SPN 111 FMI 1', seenAt: '2026-03-20T12:00:00Z' });
    expect(back.id).not.toBe(first.id);
    expect((await list()).map(({ id, state }) => [id, state])).toEqual([
      [back.id, 'active'],
      [first.id, 'gone'],
    ]);
    expect((await list('?state=active')).map(({ id }) => id)).toEqual([back.id]);
    expect((await list('?state=gone')).map(({ id }) => id)).toEqual([first.id]);
    await read('2026-03-21T12:00:00Z', INSPECTION[1]!);
    expect(await kinds()).toEqual([]);
    expect(await differences()).toEqual([]);
  });

  it('without meaning are kept and shown, and open nothing', async () => {
    await post({ code: 'SPN 100 FMI 1' }, { code: 'P0420' }, { code: 'P0118' });
    expect(
      (await list('?meaning=unknown')).map(({ code, meaning, source }) => [code, meaning, source]),
    ).toEqual([
      ...[
        ['P0420', null, null],
        ['SPN 100 FMI 1', null, null],
      ],
    ]);
    expect((await list('?meaning=known')).map(({ code }) => code)).toEqual(['P0118']);
    expect(await kinds()).toEqual(['temperature-sensor/test']);
  });

  it('are listed by filters, page by page', async () => {
    const other = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-13' })).body.id;
    const days = ['01', '02', '03', '04', '05'];
    for (const day of days) await post({ code: `SPN 1${day} FMI 2`, seenAt: `2026-03-${day}T12:00:00Z` });
    await post({ vehicleId: null, unitNumber: 'R-13', code: 'P0217' });
    const pages: string[] = [];
    for (let cursor = ''; ;) {
      const { body } = await fleet.dashboard.get(`/v1/faults?limit=2${cursor}`);
      pages.push(body.items.map(({ code }: any) => code).join(' '));
      if (body.next === null) break;
      cursor = `&cursor=${body.next}`;
    }
    expect(pages).toEqual([
      'P0217 SPN 105 FMI 2',
      'SPN 104 FMI 2 SPN 103 FMI 2',
      'SPN 102 FMI 2 SPN 101 FMI 2',
    ]);
    expect(await list(`?vehicleId=${other}`)).toHaveLength(1);
    expect(await list(`?depotId=${depotId}`)).toHaveLength(5);
    expect((await list('?code=103/2')).map(({ code }) => code)).toEqual(['SPN 103 FMI 2']);
    const own = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/faults?meaning=unknown`);
    expect(own.body.items).toHaveLength(5);
    expect((await fleet.dashboard.get('/v1/faults?code=SPN%20110')).status).toBe(400);
  });

  it('can be voided by a manager: nothing is concluded from them any more', async () => {
    const [fault] = await post({ code: HOT }, { code: HOT, seenAt: '2026-04-01T06:00:00Z' });
    const path = `/v1/faults/${fault.id}/void`;
    expect((await fleet.mechanic.post(path, { reason: 'wrong truck' })).status).toBe(403);
    const { status, body } = await fleet.manager.post(path, { reason: 'wrong truck' });
    expect([status, body.state, body.voidReason, body.followUps]).toEqual([200, 'voided', 'wrong truck', []]);
    expect(await kinds()).toEqual([]);
    expect(await list()).toEqual([]);
    expect(await list('?state=voided')).toHaveLength(2);
    expect((await fleet.manager.post(path, { reason: 'wrong truck' })).status).toBe(200);
    expect((await fleet.manager.post(path, { reason: 'other' })).body.type).toMatch(/already-voided$/);
    // The same sighting again stays voided; a later one does not.
    await post({ code: HOT });
    expect(await list()).toEqual([]);
    await post({ code: HOT, seenAt: '2026-04-02T13:00:00Z' });
    expect(await kinds()).toHaveLength(2);
    expect(await differences()).toEqual([]);
  });

  it.each<[string, object, string, RegExp]>([
    ['a code that is none', { code: 'hot' }, '/faults/0/code', /no fault code/],
    ['a code without FMI', { code: 'SPN 110' }, '/faults/0/code', /FMI is missing/],
    ['no vehicle', { code: HOT, vehicleId: null }, '/faults/0/vehicleId', /vehicleId or unitNumber/],
    [
      'an unknown unit',
      { code: HOT, vehicleId: null, unitNumber: 'X-1' },
      '/faults/0/unitNumber',
      /no vehicle X-1/,
    ],
    ['a time ahead', { code: HOT, seenAt: '2026-04-03T12:00:00Z' }, '/faults/0/seenAt', /ahead of the time/],
    ['an impossible count', { code: HOT, occurrences: 127 }, '/faults/0/occurrences', /126/],
  ])('are refused with %s, all of the batch', async (_what, wrong, pointer, detail) => {
    const good = { vehicleId, code: 'P0217', seenAt: '2026-04-02T12:00:00Z' };
    const { status, body } = await postTo(fleet.mechanic, { ...good, ...wrong }, good);
    expect([status, inText(body.errors)]).toEqual([
      422,
      [expect.objectContaining({ pointer, detail: expect.stringMatching(detail) })],
    ]);
    expect(await list()).toEqual([]);
  });

  it('are refused with all that is wrong in the batch, and no more than a hundred of it', async () => {
    const good = { vehicleId, code: 'P0217', seenAt: '2026-04-02T12:00:00Z' };
    const { body } = await postTo(
      fleet.mechanic,
      { ...good, code: 'hot', seenAt: '2026-04-03T12:00:00Z' },
      good,
      { ...good, code: 'SPN 110', vehicleId: null },
      { ...good, vehicleId: null, unitNumber: 'X-1' },
    );
    expect(body.errors.map(({ pointer, code }: any) => [pointer, code])).toEqual([
      ['/faults/0/code', 'fault-code-unreadable'],
      ['/faults/0/seenAt', 'fault-seen-ahead'],
      ['/faults/2/code', 'fault-code-without-fmi'],
      ['/faults/2/vehicleId', 'fault-without-vehicle'],
      ['/faults/3/unitNumber', 'fault-vehicle-unknown'],
    ]);
    const many = await postTo(
      fleet.mechanic,
      ...Array.from({ length: 150 }, () => ({ ...good, code: 'hot' })),
    );
    expect([many.status, many.body.errors.length, many.body.errorsLeftOut]).toEqual([422, 100, 50]);
    expect(many.body.errors.at(-1).pointer).toBe('/faults/99/code');
    expect(await list()).toEqual([]);
  });

  it('of another circuit are shown with it, and open nothing', async () => {
    await post({ code: 'P0A06' }, { code: 'P0480' }, { code: HOT });
    const told = (await list()).map(({ code, circuit, meaning, followUps }) => [
      ...[code, circuit, meaning.text, followUps.length],
    ]);
    expect(told.sort()).toEqual([
      ['P0480', null, 'Electrical fault of the fan', 1],
      ['P0A06', 'power-electronics', 'Power electronics circuit: Electrical fault of the coolant pump', 0],
      [HOT, 'engine', 'The engine overheated', 2],
    ]);
  });

  it('settled while nobody cleared the code open again after two hours, and not before', async () => {
    await post({ code: 'P2560', seenAt: '2026-04-02T08:00:00Z' });
    await read('2026-04-02T14:00:00Z', INSPECTION[1]!);
    await post({ code: 'P2560', seenAt: '2026-04-02T14:05:00Z' });
    expect(await kinds()).toEqual([]);
    expect(await list()).toMatchObject([{ state: 'active', followUps: [] }]);
    expect(await differences()).toEqual([]);
    await post({ code: 'P2560', seenAt: '2026-04-02T16:00:00Z' });
    expect(await kinds()).toEqual(['coolant/inspect at once']);
    expect(await differences()).toEqual([]);
  });

  it('are listed anew by a rebuild where they were listed otherwise', async () => {
    const [fault] = await post({ code: HOT });
    await service.database.admin.query(
      `update faults set listed_as = 'gone', gone_at = now() where fleet_id = $1`,
      [fleet.fleetId],
    );
    expect(await list('?state=active')).toEqual([]);
    expect(await differences()).toEqual([`the fault ${fault.id} is listed otherwise by its history`]);
    expect(await list('?state=active')).toHaveLength(1);
    expect(await differences()).toEqual([]);
  });

  it('keep their vehicle from being deleted', async () => {
    const { id } = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-14' })).body;
    await post({ vehicleId: id, code: 'P0420' });
    const { status, body } = await fleet.manager.delete(`/v1/vehicles/${id}`);
    expect([status, body.type]).toEqual([409, expect.stringMatching(/has-history$/)]);
  });

  it('are hidden from other fleets and from tokens of other depots', async () => {
    const [fault] = await post({ code: HOT });
    const other = await service.newFleet();
    expect(await list('', other.dashboard)).toEqual([]);
    expect((await other.dashboard.get(`/v1/faults/${fault.id}`)).status).toBe(404);
    expect((await other.manager.post(`/v1/faults/${fault.id}/void`, { reason: 'mine' })).status).toBe(404);
    const seenAt = '2026-04-02T12:00:00Z';
    expect((await postTo(other.mechanic, { vehicleId, code: HOT, seenAt })).status).toBe(422);

    const elsewhere = (await fleet.manager.post('/v1/depots', { name: 'Elsewhere' })).body.id;
    const bound = async (depotIds: string[]): Promise<Client> => {
      const issued = await fleet.manager.post('/v1/tokens', {
        name: `Of ${depotIds.join()}`,
        role: 'mechanic',
        depotIds,
      });
      return service.client(issued.body.token);
    };
    const [own, foreign] = [await bound([depotId]), await bound([elsewhere])];
    expect(await list('', own)).toHaveLength(1);
    expect(await list('', foreign)).toEqual([]);
    expect((await foreign.get(`/v1/faults/${fault.id}`)).status).toBe(404);
    expect((await foreign.get(`/v1/vehicles/${vehicleId}/faults`)).status).toBe(404);
    expect((await postTo(foreign, { vehicleId, code: HOT, seenAt })).status).toBe(422);
    expect((await postTo(own, { vehicleId, code: HOT, seenAt })).status).toBe(201);
  });
});
