import { v7 as uuidv7 } from 'uuid';
import { worstFirst } from '../../../src/domain/decisions/decisions.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { type MatterMaker, MATTERS_MADE, matterMaker } from '../../support/matters.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';
import { plannedVisits } from '../../support/visit-plans.js';

const NOW = '2026-04-02T20:00:00Z';

describe('the list of decisions', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let maker: MatterMaker;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    scenario = await postScenario(fleet, { inServiceOn: '2026-03-01' });
    maker = await matterMaker(fleet, scenario);
  });

  const add: MatterMaker['add'] = (unit, over) => maker.add(unit, over);

  const posted = async (answer: Promise<{ status: number; body: any }>): Promise<any> => {
    const { status, body } = await answer;
    expect([status < 300, body.errors]).toEqual([true, undefined]);
    return body;
  };

  const today = (client: Client = fleet.manager, query = '') => client.get(`/v1/today${query}`);

  async function all(limit: number, client = fleet.manager): Promise<any[]> {
    const items: any[] = [];
    let cursor = '';
    do {
      const { status, body } = await today(client, `?limit=${limit}${cursor}`);
      expect(status).toBe(200);
      items.push(...body.items);
      cursor = body.next === null ? '' : `&cursor=${encodeURIComponent(body.next)}`;
    } while (cursor !== '');
    return items;
  }

  it('is empty where nothing is to be decided', async () => {
    await add('Q-1');
    const { status, body } = await today();
    expect([status, body.asOf, body.items, body.next]).toEqual([200, '2026-04-02', [], null]);
    // Nobody hears of anything yet, which managers are told.
    expect(body.deliveryTroubles.map(({ kind }: any) => kind)).toContain('nobody-hears');
    expect((await today(fleet.mechanic)).body.deliveryTroubles).toEqual([]);
  });

  it('lists vehicles by their worst matter, with reasons and actions', async () => {
    for (const kind of [...MATTERS_MADE].reverse()) await maker.make(kind, `V ${kind}`);
    const defect = await posted(
      fleet.mechanic.post('/v1/defects', {
        ...{ vehicleId: await add('V defect'), source: 'driver', what: 'Steam at the front' },
        reportedAt: '2026-04-02T10:00:00Z',
      }),
    );
    const { items } = (await today()).body;
    expect(items.map(({ vehicle, worst }: any) => [vehicle.unitNumber, worst])).toEqual([
      ['V released-with-findings', 'released-with-findings'],
      // A reported defect is due for a look at once.
      ['V at-once', 'at-once'],
      ['V defect', 'at-once'],
      ['V late', 'late'],
      ['V loss-alert', 'loss-alert'],
      ['V held-reading', 'held-reading'],
    ]);
    for (const { matters } of items) {
      expect(matters).toEqual(worstFirst(matters));
      for (const { reasons, actions } of matters) {
        expect(reasons.every(({ text }: any) => text.length > 10)).toBe(true);
        expect([reasons.length > 0, actions.length > 0]).toEqual([true, true]);
      }
    }
    const of = (unit: string, kind: string) =>
      items
        .find(({ vehicle }: any) => vehicle.unitNumber === unit)
        .matters.find((matter: any) => matter.kind === kind);
    const reported = of('V defect', 'defect');
    expect(reported.reasons[0].text).toContain('Steam at the front');
    expect(reported.actions[0]).toEqual({
      ...{ action: 'triage', method: 'POST', path: `/v1/defects/${defect.id}/triage` },
    });
    expect(
      of('V released-with-findings', 'released-with-findings').actions.map(({ action }: any) => action),
    ).toEqual(['job-card', 'report-job']);
    expect(of('V released-with-findings', 'failed-report').reasons[0].code).toBe('decision-failed-report');
    const held = of('V held-reading', 'held-reading');
    expect((await fleet.manager.post(held.actions[1].path)).status).toBe(200);
    const after = (await today()).body.items.map(({ vehicle }: any) => vehicle.unitNumber);
    expect(after).not.toContain('V held-reading');
  });

  it('gives the same in small pages as in one, each vehicle once', async () => {
    for (const kind of MATTERS_MADE) for (const turn of [1, 2]) await maker.make(kind, `${kind} ${turn}`);
    // A vehicle with matters of two kinds, and another with several lines of one.
    const both = await add('both', { inServiceOn: '2024-01-15' });
    await posted(
      fleet.mechanic.post(`/v1/vehicles/${both}/readings`, maker.failedTest('2026-04-01T12:00:00Z')),
    );
    await add('many lines', { inServiceOn: '2018-01-15', intervalPlanId: scenario.intervalPlanId });
    const whole = await all(50);
    const units = whole.map(({ vehicle }) => vehicle.unitNumber);
    expect(new Set(units).size).toBe(units.length);
    expect(units).toHaveLength(12);
    for (const limit of [1, 2, 5]) expect(await all(limit)).toEqual(whole);
    const firsts = whole.map(({ matters }) => matters[0]);
    expect(worstFirst(firsts)).toEqual(firsts);
  });

  it('lists the visits of the day and those that were missed, and the plan’s next ones not', async () => {
    service.clock.moveTo('2026-04-02T15:00:00Z');
    const id = await add('due', { inServiceOn: '2025-04-10' });
    const plan = await plannedVisits(service, fleet, { from: '2026-04-13' });
    await posted(fleet.manager.post(`/v1/visit-plans/${plan.id}/confirm`));
    const [visit] = (await fleet.manager.get(`/v1/visits?vehicleId=${id}`)).body.items;
    const seen = async (): Promise<any> =>
      (await today()).body.items.find(({ vehicle }: any) => vehicle.id === id)?.matters;
    expect(await seen()).toBeUndefined();
    service.clock.moveTo(`${visit.day}T20:00:00Z`);
    const [matter] = await seen();
    expect([matter.kind, matter.reasons[0].values.isMissed]).toEqual(['visit', 'no']);
    const links = Object.fromEntries(matter.actions.map(({ action, path }: any) => [action, path]));
    expect(links['read-visit']).toBe(`/v1/visits/${visit.id}`);
    expect((await fleet.manager.get(links['pick-list'])).body.visits).toMatchObject([{ unitNumber: 'due' }]);
    service.clock.moveTo(new Date(Date.parse(`${visit.day}T20:00:00Z`) + 86_400_000).toISOString());
    expect((await seen()).at(-1).reasons[0].values.isMissed).toBe('yes');
  });

  it('shows a token what it may see and do', async () => {
    await maker.make('late', 'here');
    const elsewhere = (await fleet.manager.post('/v1/depots', { name: 'Valley' })).body.id;
    await add('there', { inServiceOn: '2024-01-15', depotId: elsewhere });
    const bound = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'Valley', role: 'mechanic', depotIds: [elsewhere] },
    });
    const { items } = (await today(service.client(bound.body.token))).body;
    expect(items.map(({ vehicle }: any) => vehicle.unitNumber)).toEqual(['there']);
    const actions = async (client: Client): Promise<string[]> =>
      (await today(client)).body.items[0].matters[0].actions.map(({ action }: any) => action);
    expect(await actions(fleet.manager)).toEqual(['job-card', 'report-job', 'plan-visit', 'postpone']);
    expect(await actions(fleet.mechanic)).toEqual(['job-card', 'report-job']);
    expect(await actions(fleet.dashboard)).toEqual(['job-card']);
  });

  it('lists alerts about no single vehicle beside them, once, for whoever may see all vehicles', async () => {
    const add = async (raisedAt: string, over: object = {}): Promise<string> => {
      const row = {
        ...{
          fleet_id: fleet.fleetId,
          id: uuidv7(),
          kind: 'part-cohort',
          status: 'raised',
          raised_at: raisedAt,
        },
        ...{ key: raisedAt, members: '[]', evidence: '[]', computed: '{}', cautions: '[]' },
        check_next: JSON.stringify([{ code: 'decision-held-reading', values: {} }]),
        ...over,
      };
      await service.database.admin.query(
        `insert into loss_alerts (${Object.keys(row).join()}) values (${Object.keys(row)
          .map((_, n) => `$${n + 1}`)
          .join()})`,
        Object.values(row),
      );
      return row.id;
    };
    const later = await add('2026-03-20T00:00:00Z');
    const first = await add('2026-03-10T00:00:00Z');
    const over = { status: 'shelved', shelved_until: '2026-04-01T00:00:00Z' };
    const back = await add('2026-03-30T00:00:00Z', over);
    await add('2026-03-05T00:00:00Z', { status: 'shelved', shelved_until: '2026-05-01T00:00:00Z' });
    await add('2026-03-06T00:00:00Z', { status: 'acknowledged' });
    await add('2026-03-07T00:00:00Z', { is_standing: false });
    for (const unit of ['1', '2']) await maker.make('loss-alert', unit);
    const { body } = await today(fleet.manager, '?limit=1');
    expect(body.fleetMatters.map(({ id }: any) => id)).toEqual([first, later, back]);
    const [{ kind, since, reasons, actions }] = body.fleetMatters;
    expect([kind, since]).toEqual(['loss-alert', '2026-03-10T00:00:00.000Z']);
    expect(reasons.map(({ code }: any) => code)).toEqual(['decision-loss-alert', 'decision-held-reading']);
    expect(reasons[0].text).toContain('bad part batch');
    expect(actions.map(({ action }: any) => action)).toEqual(['acknowledge', 'shelve', 'clear']);
    const next = await today(fleet.manager, `?limit=1&cursor=${encodeURIComponent(body.next)}`);
    expect([next.body.items.length, next.body.fleetMatters]).toEqual([1, []]);
    expect((await fleet.manager.post(actions[0].path)).status).toBe(200);
    expect((await today()).body.fleetMatters.map(({ id }: any) => id)).toEqual([later, back]);
    const bound = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'Ridge', role: 'mechanic', depotIds: [scenario.depotId] },
    });
    const seen = (await today(service.client(bound.body.token))).body;
    expect([seen.items.length, seen.fleetMatters]).toEqual([2, []]);
  });

  it('answers a cursor that was tampered with by 400', async () => {
    for (const kind of MATTERS_MADE) await maker.make(kind, kind);
    const { next } = (await today(fleet.manager, '?limit=1')).body;
    for (const wrong of ['x', next.slice(3)]) {
      const { status } = await today(fleet.manager, `?limit=1&cursor=${encodeURIComponent(wrong)}`);
      expect([wrong, status]).toEqual([wrong, 400]);
    }
  });

  it('takes the same number of statements for one vehicle and for many', async () => {
    await maker.make('late', 'L-0');
    const counted = async (): Promise<number> => {
      let count = 0;
      const listen = (): void => void (count += 1);
      statementListeners.add(listen);
      try {
        expect((await today()).status).toBe(200);
      } finally {
        statementListeners.delete(listen);
      }
      return count;
    };
    const few = await counted();
    for (const kind of MATTERS_MADE) for (const turn of [1, 2]) await maker.make(kind, `${kind} ${turn}`);
    expect(await counted()).toBe(few);
    expect(few).toBeLessThanOrEqual(9);
  });
});
