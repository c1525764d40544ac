import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { HYBRID_PLAN, HYBRID_SHEET } from '../../support/hybrid.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { plannedVisits } from '../../support/visit-plans.js';

const MONDAY = '2026-04-06';

describe('the pick list of a day', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z' });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
    await fleet.manager.patch(`/v1/depots/${scenario.depotId}`, { labourHoursPerDay: 500 });
  });

  async function add(unitNumber: string, over: object = {}): Promise<string> {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber, depotId, specSheetId, intervalPlanId, duty: 'severe', inServiceOn: '2021-03-15' },
      ...over,
    });
    expect(status).toBe(201);
    return body.id;
  }

  /** Confirms visits for all that is due, all on Monday. */
  async function confirm(): Promise<any[]> {
    const plan = await plannedVisits(service, fleet, { from: MONDAY });
    const confirmed = await fleet.manager.post(`/v1/visit-plans/${plan.id}/confirm`);
    expect(confirmed.status).toBe(200);
    const { items } = (await fleet.manager.get('/v1/visits')).body;
    expect(new Set(items.map(({ day }: any) => day))).toEqual(new Set([MONDAY]));
    return items;
  }

  const list = (query = '', client = fleet.mechanic) =>
    client.get(`/v1/pick-list?depotId=${scenario.depotId}&on=${MONDAY}${query}`);

  it('adds up parts, coolant in whole jugs, and tools over the visits of the depot', async () => {
    await add('R-115');
    await confirm();
    const { status, body } = await list();
    expect(status).toBe(200);
    expect(body).toMatchObject({ on: MONDAY, depot: { name: 'Ridge' }, container: { unit: 'qt' } });
    expect(body.visits.map(({ unitNumber, lines }: any) => [unitNumber, lines.length])).toEqual([
      ['R-114', 3],
      ['R-115', 3],
    ]);
    // One jug holds 1 gal, which is 4 qt.
    expect(body.container.value).toBeCloseTo(4, 9);
    const card = (await fleet.mechanic.get(`/v1/vehicles/${scenario.vehicleId}/job-card`)).body;
    const neat = 2 * card.coolant.bring.concentrate.value;
    const [concentrate] = body.coolant;
    expect(concentrate).toMatchObject({ kind: 'concentrate', containers: Math.ceil(neat / 4) });
    expect(concentrate.volume.value).toBeCloseTo(neat, 6);
    expect(concentrate.for.map(({ unitNumber }: any) => unitNumber)).toEqual(['R-114', 'R-115']);
    const pump = body.parts.find(({ component }: any) => component === 'water-pump');
    const onCard = card.parts.find(({ component }: any) => component === 'water-pump');
    expect(pump.quantity).toBe(2 * onCard.quantity);
    expect(body.tools.map(({ tool }: any) => tool)).toEqual(
      expect.arrayContaining(['catch-pan', 'vacuum-filler', 'torque-wrench']),
    );
    expect(body.cautions.at(-1).code).toBe('caution-maker');
    const si = (await list('&units=si')).body;
    expect(si.container).toEqual({ value: 5, unit: 'L' });
    expect(si.basis[0].code).toBe('basis-pick-containers-si');
  });

  it('keeps the battery’s coolant in containers of its own', async () => {
    const specSheetId = (await fleet.manager.post('/v1/spec-sheets', HYBRID_SHEET)).body.id;
    const intervalPlanId = (await fleet.manager.post('/v1/interval-plans', HYBRID_PLAN)).body.id;
    await add('H-7', { specSheetId, intervalPlanId, duty: 'normal', inServiceOn: '2019-03-15' });
    await confirm();
    const { body } = await list();
    const own = body.coolant.filter((line: any) => line.isElectric);
    // 6 L are 1.6 gal.
    expect(own).toMatchObject([
      {
        ...{ kind: 'ready-mixed', technology: 'low-conductivity', circuit: 'battery', containers: 2 },
        for: [{ unitNumber: 'H-7', circuit: 'battery' }],
      },
    ]);
    expect(body.tools[0]).toMatchObject({ tool: 'lock-out-set', for: [{ unitNumber: 'H-7' }] });
    expect(body.cautions[0].code).toBe('caution-high-voltage');
  });

  it('lists what is not known of a vehicle without a spec sheet', async () => {
    await add('X-1', { specSheetId: null });
    await confirm();
    const { body } = await list();
    expect(body.visits.map(({ unitNumber }: any) => unitNumber)).toContain('X-1');
    const told = body.missing.filter(({ unitNumber }: any) => unitNumber === 'X-1');
    expect(told.map(({ message }: any) => message.code)).toEqual([
      'card-no-spec-sheet',
      'pick-coolant-not-known',
    ]);
  });

  it('prints, with the cautions, in the language of the reader', async () => {
    await confirm();
    const printed = await list('&format=html');
    expect([printed.status, printed.headers.get('content-type')]).toEqual([200, 'text/html; charset=utf-8']);
    expect(printed.body).toContain('Pick list, Ridge, Monday');
    expect(printed.body).toMatch(/concentrate, ethylene glycol, OAT: R-114/);
    expect(printed.body).toContain('Never mix two coolants');
    const spanish = await fleet.mechanic.get(
      `/v1/pick-list?depotId=${scenario.depotId}&on=${MONDAY}&format=html`,
      { 'accept-language': 'es' },
    );
    expect(spanish.body).toContain('Lista de surtido, Ridge');
  });

  it('leaves out what is done, other days, and other depots', async () => {
    await confirm();
    const other = (await fleet.manager.post('/v1/depots', { name: 'Valley' })).body.id;
    for (const query of [`depotId=${other}&on=${MONDAY}`, `depotId=${scenario.depotId}&on=2026-04-07`]) {
      const { status, body } = await fleet.mechanic.get(`/v1/pick-list?${query}`);
      expect([status, body.visits, body.parts, body.coolant]).toEqual([200, [], [], []]);
    }
    const [visit] = (await fleet.manager.get('/v1/visits')).body.items;
    await fleet.manager.post(`/v1/visits/${visit.id}/cancel`, { reason: 'no bay' });
    expect((await list()).body.visits).toEqual([]);
  });

  it('refuses a depot that the token may not see, and says so', async () => {
    await confirm();
    const other = (await fleet.manager.post('/v1/depots', { name: 'Valley' })).body.id;
    const bound = await fleet.manager.post('/v1/tokens', { name: 'V', role: 'mechanic', depotIds: [other] });
    expect(bound.status).toBe(201);
    const answer = await list('', service.client(bound.body.token));
    expect([answer.status, answer.body.errors[0].parameter]).toEqual([400, 'depotId']);
    const bad = await fleet.mechanic.get(`/v1/pick-list?depotId=${other}`);
    expect([bad.status, bad.body.errors[0].parameter]).toEqual([400, 'on']);
  });

  it('takes the same number of statements for one visit and for many', async () => {
    const specSheetId = (await fleet.manager.post('/v1/spec-sheets', HYBRID_SHEET)).body.id;
    const intervalPlanId = (await fleet.manager.post('/v1/interval-plans', HYBRID_PLAN)).body.id;
    const hybrid = { specSheetId, intervalPlanId, duty: 'normal', inServiceOn: '2019-03-15' };
    await add('H-0', hybrid);
    await confirm();
    const counted = async (): Promise<string[]> => {
      const statements: string[] = [];
      const listen = (text: string) => void statements.push(text);
      statementListeners.add(listen);
      try {
        expect((await list()).status).toBe(200);
      } finally {
        statementListeners.delete(listen);
      }
      return statements;
    };
    const few = await counted();
    for (let index = 1; index <= 12; index += 1) await add(`H-${index}`, hybrid);
    await confirm();
    expect((await list()).body.visits.length).toBeGreaterThan(12);
    const many = await counted();
    expect(many).toEqual(few);
    expect(many.length).toBeLessThanOrEqual(4);
  });
});
