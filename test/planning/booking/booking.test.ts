import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { confirmedVisit, plannedVisits } from '../../support/visit-plans.js';

// A Thursday.
const NOW = '2026-04-02T15:00:00Z';
const MONDAY = '2026-04-06';

describe('booking visits', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: NOW, isAlone: true });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  });

  async function addVehicle(unitNumber: string, more: object = {}): Promise<string> {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber, depotId, specSheetId, intervalPlanId, duty: 'severe', inServiceOn: '2021-03-15' },
      ...more,
    });
    expect([status, body.errors]).toEqual([201, undefined]);
    return body.id;
  }
  const linesOf = async (unit: string, state = 'late,due,window'): Promise<any[]> =>
    (await fleet.manager.get(`/v1/due-list?q=${unit}&state=${state}`)).body.items;
  const idsOf = async (unit: string): Promise<string[]> => (await linesOf(unit)).map(({ id }) => id);
  async function book(ids: string[], more: object = {}): Promise<any> {
    const { status, body } = await fleet.manager.post('/v1/visits/book', { ids, day: MONDAY, ...more });
    expect([status, body.errors]).toEqual([200, undefined]);
    return body;
  }
  const visits = async (): Promise<any[]> => (await fleet.manager.get('/v1/visits')).body.items;
  const refusals = ({ results }: any) => results.map(({ status, problem }: any) => [status, problem?.detail]);
  const faults = ({ results }: any) =>
    results.map(({ problem }: any) => [problem?.errors[0].pointer, problem?.errors[0].detail]);

  it('makes one visit of the lines of each vehicle, as a plan would, and takes them back by cancelling', async () => {
    await addVehicle('B-2');
    const [first, second] = [await idsOf('R-114'), await idsOf('B-2')];
    expect([first.length, second.length]).toEqual([3, 3]);
    const result = await book([...first, ...second.slice(0, 1)]);
    expect([result.done, result.refused]).toEqual([4, 0]);
    const made = await visits();
    expect(made.map(({ vehicle, lines }) => [vehicle.unitNumber, lines.length]).sort()).toEqual([
      ['B-2', 1],
      ['R-114', 3],
    ]);
    const [own] = made.filter(({ vehicle }) => vehicle.unitNumber === 'R-114');
    // The hours of the same visit in a plan (visit-plans.queue.test.ts reckons them by hand).
    expect(own.hours).toBeCloseTo(4.8, 9);
    expect(own).toMatchObject({
      ...{ day: MONDAY, depotId: scenario.depotId, visitPlanId: null, assignedTo: null, state: 'planned' },
    });
    for (const { id, line } of result.results.slice(0, 3))
      expect([first.includes(id), line.visit]).toEqual([true, { id: own.id, on: MONDAY, assignedTo: null }]);
    // Once more changes nothing.
    await book(first);
    expect((await visits()).find(({ id }) => id === own.id).version).toBe(own.version);
    await fleet.manager.post(`/v1/visits/${own.id}/cancel`, { reason: 'the bay is closed' });
    expect((await linesOf('R-114')).map(({ visit }) => visit)).toEqual([null, null, null]);
    expect((await book(first, { day: '2026-04-07' })).done).toBe(3);
    const { body: audit } = await fleet.manager.get(`/v1/audit?kind=visit&id=${own.id}`);
    expect(audit.items.map(({ action }: any) => action).sort()).toEqual(['cancelled', 'created']);
  });

  it('adds lines to the visit that the vehicle has that day, and to whoever does it', async () => {
    const { visitId } = await confirmedVisit(service, fleet);
    const { day } = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    const kim = await fleet.manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' });
    const vehicleId = (await linesOf('R-114'))[0].vehicle.id;
    await fleet.manager.post(`/v1/visits/${visitId}/assign`, { personId: kim.body.id });
    const failed = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ kind: 'hold-test', takenAt: '2026-04-01T12:00:00Z', method: 'pressure', minutes: 5 },
      ...{ start: { value: 15, unit: 'psi' }, end: { value: 5, unit: 'psi' } },
    });
    expect(failed.status).toBe(201);
    const left = (await linesOf('R-114')).filter(({ visit }) => visit === null);
    expect(left.length).toBeGreaterThan(0);
    const before = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    const { results } = await book(
      left.map(({ id }) => id),
      { day },
    );
    for (const { line } of results)
      expect(line.visit).toEqual({ id: visitId, on: day, assignedTo: kim.body.id });
    const after = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    expect(after.lines).toHaveLength(before.lines.length + left.length);
    expect(after.hours).toBeGreaterThan(before.hours);
    expect(after.version).toBeGreaterThan(before.version);
  });

  it('leaves what cannot be booked, and says why', async () => {
    const away = await fleet.manager.post('/v1/depots', { name: 'Valley' });
    await addVehicle('V-1', { depotId: away.body.id });
    await addVehicle('N-1', { depotId: null });
    const [line = '', other = ''] = await idsOf('R-114');
    const [valley = ''] = await idsOf('V-1');
    const [homeless = ''] = await idsOf('N-1');
    expect(refusals(await book([homeless, line]))).toEqual([
      [409, 'Its vehicle is kept at no depot, so there is no place for it to come in.'],
      [200, undefined],
    ]);
    expect(faults(await book([valley], { depotId: scenario.depotId }))).toEqual([
      ['/depotId', 'Its vehicle is kept at Valley, and comes in there.'],
    ]);
    expect(refusals(await book([line], { day: '2026-04-07' }))).toEqual([
      [409, 'It is in the visit on 2026-04-06 already. Cancel that visit first.'],
    ]);
    for (const [day, detail] of [
      ['2026-04-01', '2026-04-01 is past. Today is 2026-04-02.'],
      ['2026-04-04', '2026-04-04 is a Saturday, and Ridge does not work on that day of the week.'],
      ['2027-04-05', '2027-04-05 is more than 12 months away. The latest day is 2027-04-02.'],
    ])
      expect(faults(await book([other], { day }))).toEqual([['/day', detail]]);
    await addVehicle('Y-1', { inServiceOn: '2026-03-01' });
    const young = await linesOf('Y-1', 'not-due');
    const inspect = young.find(({ component, action }) => `${component} ${action}` === 'drive-belt inspect');
    const undated = young.find(({ dueOn }) => dueOn === null);
    expect(faults(await book([inspect.id]))).toEqual([
      [
        '/day',
        `2026-04-06 is too early for drive belt: inspect. Its window opens on ${inspect.windowOpensOn}. That is the earliest day for this visit.`,
      ],
    ]);
    expect(refusals(await book([undated.id]))).toEqual([
      [409, expect.stringMatching(/^This line has no due date yet\. Report when/)],
    ]);
    const none = '01980000-0000-7000-8000-000000000000';
    expect((await book([none])).results[0].status).toBe(404);
    const elsewhere = await service.newFleet();
    await postScenario(elsewhere);
    const [foreign] = (await elsewhere.manager.get('/v1/due-list')).body.items;
    expect((await book([foreign.id])).results[0].status).toBe(404);
    expect((await fleet.mechanic.post('/v1/visits/book', { ids: [other], day: MONDAY })).status).toBe(403);
  });

  it('takes no more hours of a day than the depot has', async () => {
    await fleet.manager.patch(`/v1/depots/${scenario.depotId}`, { labourHoursPerDay: 5 });
    await addVehicle('B-2');
    expect((await book(await idsOf('R-114'))).done).toBe(3);
    const { results, done } = await book(await idsOf('B-2'));
    expect(done).toBe(0);
    expect(results[0].problem.errors[0]).toMatchObject({
      pointer: '/day',
      detail: expect.stringMatching(/^On 2026-04-06, 4\.8 h of the 5 h of labour at Ridge are taken\./),
    });
    // A plan finds the same hours taken.
    const plan = await plannedVisits(service, fleet, { to: MONDAY });
    expect(plan.visits.filter(({ day }: any) => day === MONDAY)).toEqual([]);
  });
});
