import { forgetPerson } from '../../../src/keeping/people/forget-person.js';
import { confirmedVisit, plannedVisits } from '../../support/visit-plans.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('assigning visits', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let visitId: string;

  beforeAll(async () => {
    service = await startService({ at: NOW, isAlone: true });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
    ({ visitId } = await confirmedVisit(service, fleet));
  });

  async function person(body: object = {}, of = fleet): Promise<string> {
    const made = await of.manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic', ...body });
    expect([made.status, made.body.errors]).toEqual([201, undefined]);
    return made.body.id;
  }
  const assign = (personId: string | null, id = visitId) =>
    fleet.manager.post(`/v1/visits/${id}/assign`, { personId });
  const assignee = async (): Promise<any> =>
    (await fleet.manager.get(`/v1/visits/${visitId}`)).body.assignedTo;
  const lines = async (query: string, client: Client = fleet.manager): Promise<any[]> => {
    const { status, body } = await client.get(`/v1/due-list${query}`);
    expect([status, body.errors]).toEqual([200, undefined]);
    return body.items;
  };
  async function tokenOf(personId: string): Promise<Client> {
    const { body } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'phone', role: 'mechanic', personId },
    });
    return service.client(body.token);
  }

  it('gives a visit and its lines to a person, who finds both by "me"', async () => {
    const [kim, lee] = [await person(), await person({ name: 'Lee Park' })];
    const before = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    expect(before.assignedTo).toBeNull();
    const given = await assign(kim);
    expect([given.status, given.body.assignedTo, given.body.version]).toEqual([
      ...[200, { id: kim, name: 'Kim Oduya' }, before.version + 1],
    ]);
    // Giving it again changes nothing.
    expect((await assign(kim)).body.version).toBe(before.version + 1);
    const [phone, other] = [await tokenOf(kim), await tokenOf(lee)];
    const mine = await lines('?assignedTo=me', phone);
    expect(mine.map(({ id }) => id).sort()).toEqual(before.lines.map((line: any) => line.dueLineId).sort());
    expect(mine[0].visit).toEqual({ id: visitId, on: before.day, assignedTo: kim });
    // The same address, answered to somebody else: nothing is kept from the first.
    for (let time = 0; time < 3; time++) {
      expect(await lines('?assignedTo=me', other)).toEqual([]);
      expect(await lines('?assignedTo=me', phone)).toHaveLength(mine.length);
    }
    expect(await lines(`?assignedTo=${kim.toUpperCase()}`)).toHaveLength(mine.length);
    const visits = async (query: string, client = phone) =>
      (await client.get(`/v1/visits${query}`)).body.items.map(({ id }: any) => id);
    expect(await visits('?assignedTo=me')).toEqual([visitId]);
    expect(await visits('?assignedTo=me', other)).toEqual([]);
    expect(await visits(`?assignedTo=${kim}&state=done`)).toEqual([]);
    const file = await fleet.manager.get(`/v1/due-list.csv?assignedTo=${kim}`);
    expect(String(file.body).trim().split('\n')).toHaveLength(1 + mine.length);
    expect((await assign(null)).body.assignedTo).toBeNull();
    expect(await lines('?assignedTo=me', phone)).toEqual([]);
    expect(await visits('?assignedTo=me')).toEqual([]);
  });

  it('says whose list "me" is, and what else can be asked for', async () => {
    for (const path of ['/v1/due-list', '/v1/visits', '/v1/due-list.csv'])
      for (const asked of ['me', 'ME', 'Kim', '%00'])
        expect([asked, (await fleet.mechanic.get(`${path}?assignedTo=${asked}`)).status]).toEqual([
          asked,
          400,
        ]);
    const { body } = await fleet.mechanic.get('/v1/visits?assignedTo=me');
    expect(body.errors[0]).toMatchObject({
      parameter: 'assignedTo',
      detail: 'is "me", but this token belongs to no person. Give the id of a person',
    });
  });

  it('stays with the person once done, and leaves "mine"', async () => {
    const kim = await person();
    await assign(kim);
    const { vehicle } = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    service.clock.moveTo('2026-04-07T15:00:00Z');
    const job = goodJob(vehicle.id, '2026-04-07T10:00:00Z', 9010);
    const done = await fleet.mechanic.post('/v1/job-reports', {
      ...job,
      lines: [
        { component: 'water-pump', action: 'replace' },
        { component: 'coolant', action: 'replace' },
        { component: 'drive-belt', action: 'inspect' },
      ],
    });
    expect(done.status).toBe(201);
    expect((await fleet.manager.get(`/v1/visits/${visitId}`)).body).toMatchObject({
      ...{ state: 'done', assignedTo: { id: kim } },
    });
    expect(await lines(`?assignedTo=${kim}&state=late,due,window,not-due,no-baseline`)).toEqual([]);
    const again = await assign(null);
    expect([again.status, again.body.type]).toEqual([409, '/problems/already-done']);
    // Whoever leaves keeps what was done.
    await fleet.manager.patch(`/v1/people/${kim}`, { state: 'left' });
    expect(await assignee()).toEqual({ id: kim, name: 'Kim Oduya' });
  });

  it('refuses whoever cannot do the work', async () => {
    const other = await service.newFleet();
    const elsewhere = await fleet.manager.post('/v1/depots', { name: 'Valley' });
    const gone = await person({ name: 'Sam Gone' });
    await fleet.manager.patch(`/v1/people/${gone}`, { state: 'left' });
    for (const [personId, detail] of [
      [await person({}, other), 'no such person'],
      ['00000000-0000-4000-8000-000000000000', 'no such person'],
      [gone, 'Sam Gone has left'],
      [await person({ depotIds: [elsewhere.body.id] }), 'does not work at the depot'],
      [await person({ role: 'driver' }), 'has the role driver'],
      [await person({ role: 'dashboard' }), 'has the role dashboard'],
      ['Kim', ''],
    ] as const) {
      const { status, body } = await assign(personId);
      expect([status, body.errors?.[0]?.pointer]).toEqual([422, '/personId']);
      expect(body.errors[0].detail).toContain(detail);
    }
    expect(await assignee()).toBeNull();
    const kim = await person({ depotIds: [scenario.depotId] });
    expect((await assign(kim)).status).toBe(200);
    for (const client of [fleet.mechanic, fleet.dashboard])
      expect((await client.post(`/v1/visits/${visitId}/assign`, { personId: kim })).status).toBe(403);
    expect((await other.manager.post(`/v1/visits/${visitId}/assign`, { personId: kim })).status).toBe(404);
    await fleet.manager.post(`/v1/visits/${visitId}/cancel`, { reason: 'no part' });
    const cancelled = await assign(kim);
    expect([cancelled.status, cancelled.body.type]).toEqual([409, '/problems/already-cancelled']);
  });

  it('assigns many, each answered by itself, and repeats the answer for the same key', async () => {
    const kim = await person();
    const unknown = '00000000-0000-4000-8000-000000000000';
    const send = () =>
      fleet.manager.post(
        '/v1/visits/assign',
        { ids: [visitId, unknown], personId: kim },
        { 'idempotency-key': 'once' },
      );
    const { status, body } = await send();
    expect([status, body.done, body.refused]).toEqual([200, 1, 1]);
    expect(body.results).toEqual([
      { id: visitId, status: 200, visit: expect.objectContaining({ assignedTo: expect.anything() }) },
      { id: unknown, status: 404, problem: expect.objectContaining({ status: 404 }) },
    ]);
    expect(body.results[1].problem.errors).toEqual([expect.objectContaining({ pointer: '/ids/1' })]);
    await assign(null);
    expect((await send()).body.results[0].visit.assignedTo).toMatchObject({ id: kim });
    expect(await assignee()).toBeNull();
  });

  it.each([
    ['leaves', { state: 'left' }],
    ['gets a role without visits', { role: 'driver' }],
    ['moves to another depot', null],
  ])('takes open visits off a person who %s', async (_what, patch) => {
    const kim = await person();
    await assign(kim);
    const elsewhere = await fleet.manager.post('/v1/depots', { name: 'Valley' });
    // At the same depot still: nothing is taken off.
    await fleet.manager.patch(`/v1/people/${kim}`, { depotIds: [scenario.depotId, elsewhere.body.id] });
    expect(await assignee()).toMatchObject({ id: kim });
    const changed = patch ?? { depotIds: [elsewhere.body.id] };
    expect((await fleet.manager.patch(`/v1/people/${kim}`, changed)).status).toBe(200);
    expect(await assignee()).toBeNull();
    expect(await lines(`?assignedTo=${kim}`)).toEqual([]);
  });

  it('turns off the reminder targets of whoever leaves, and takes none for them', async () => {
    const kim = await person();
    const target = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: 'https://example.org/kim', personId: kim },
    });
    expect([target.status, target.body.personId, target.body.hears]).toEqual([201, kim, ['due-line']]);
    expect((await fleet.manager.delete(`/v1/people/${kim}`)).body.type).toBe('/problems/in-use');
    await fleet.manager.patch(`/v1/people/${kim}`, { state: 'left' });
    const path = `/v1/reminder-targets/${target.body.id}`;
    expect((await fleet.manager.get(path)).body).toMatchObject({
      enabled: false,
      disabledReason: { code: 'target-of-person-who-left' },
    });
    for (const body of [{ enabled: true }, { enabled: true, personId: visitId }]) {
      const refused = await fleet.manager.patch(path, body);
      expect([refused.status, refused.body.errors[0].pointer]).toEqual([422, '/personId']);
    }
    expect((await fleet.manager.patch(path, { personId: null, enabled: true })).status).toBe(200);
  });

  it('lets go of a person for a target that is removed', async () => {
    const kim = await person();
    const { body } = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: 'https://example.org/kim', personId: kim },
    });
    expect((await fleet.manager.delete(`/v1/reminder-targets/${body.id}`)).status).toBe(204);
    expect((await fleet.manager.delete(`/v1/people/${kim}`)).status).toBe(204);
  });

  it('keeps a person who has a visit, and says so', async () => {
    const kim = await person();
    await assign(kim);
    const kept = await fleet.manager.delete(`/v1/people/${kim}`);
    expect([kept.status, kept.body.type]).toEqual([409, '/problems/in-use']);
  });

  it('takes open visits off a person who is forgotten', async () => {
    const kim = await person();
    await assign(kim);
    const target = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: 'https://example.org/x', personId: kim },
    });
    await forgetPerson(service.database.url, { people: ['Kim Oduya'], fleetId: fleet.fleetId });
    expect(await assignee()).toBeNull();
    expect(await lines(`?assignedTo=${kim}`)).toEqual([]);
    expect((await fleet.manager.get(`/v1/reminder-targets/${target.body.id}`)).body.enabled).toBe(false);
  });

  it('is audited, and gone with the visit and with a new plan', async () => {
    const kim = await person();
    await assign(kim);
    await assign(null);
    const { body } = await fleet.manager.get('/v1/audit?kind=visit');
    const entries = body.items.filter(({ action }: any) => action === 'assigned');
    expect(entries.map(({ changes }: any) => JSON.stringify(changes).includes(kim))).toEqual([true, true]);
    await assign(kim);
    await fleet.manager.post(`/v1/visits/${visitId}/cancel`, { reason: 'no part' });
    expect(await lines(`?assignedTo=${kim}`)).toEqual([]);
    const plan = await plannedVisits(service, fleet);
    await fleet.manager.post(`/v1/visit-plans/${plan.id}/confirm`);
    expect(await lines(`?assignedTo=${kim}`)).toEqual([]);
  });
});
