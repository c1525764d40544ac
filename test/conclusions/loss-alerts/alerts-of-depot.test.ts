import { v7 as uuidv7 } from 'uuid';
import {
  type LossAlertFilters,
  lossAlertRows,
} from '../../../src/conclusions/loss-alerts/loss-alerts.queries.js';
import { costOf } from '../../support/plans.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const MANY = 400;

describe('the loss alerts of a depot', () => {
  let service: Service;
  let fleet: FleetHandle;
  let [ridge, valley] = ['', ''];
  let [ofRidge, ofValley] = ['', ''];

  beforeAll(async () => {
    // What PostgreSQL plans depends on what its tables held before.
    service = await startService({ at: NOW, isAlone: true });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    const made = async (path: string, body: object): Promise<string> =>
      (await fleet.manager.post(path, body)).body.id;
    ridge = await made('/v1/depots', { name: 'Hill' });
    valley = await made('/v1/depots', { name: 'Valley' });
    ofRidge = await made('/v1/vehicles', { unitNumber: 'R-1', depotId: ridge });
    ofValley = await made('/v1/vehicles', { unitNumber: 'V-1', depotId: valley });
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'N-1' });
  });

  /** Alerts in minutes one after the other; `cleared` or open. */
  const add = (vehicleId: string | null, count: number, status = 'raised') =>
    service.database.admin.query(
      `insert into loss_alerts (fleet_id, id, vehicle_id, key, kind, status, raised_at, cleared_at, cleared_by, members, evidence, computed, check_next, cautions)
       select $1, gen_random_uuid(), $2, $3 || n, $4, $5, timestamptz '2026-01-01T00:00:00Z' + n * interval '1 minute',
         case when $5 = 'cleared' then now() end, case when $5 = 'cleared' then 'x' end, '[]', '[]', '{}', '[]', '[]' from generate_series(1, $6::int) n`,
      [fleet.fleetId, vehicleId, uuidv7(), vehicleId ? 'repeat-top-ups' : 'part-cohort', status, count],
    );
  const units = async (query: string, client = fleet.dashboard): Promise<(string | null)[]> => {
    const { status, body } = await client.get(`/v1/loss-alerts?${query}`);
    expect(status).toBe(200);
    return body.items.map(({ vehicle }: any) => vehicle?.unitNumber ?? null);
  };

  it('are listed alone, whatever else is asked', async () => {
    await add(ofRidge, 2);
    await add(ofValley, 1);
    await add(ofValley, 1, 'cleared');
    await add(null, 1);
    expect((await units('')).sort()).toEqual(['R-1', 'R-1', 'V-1', null]);
    expect(await units(`depotId=${ridge}`)).toEqual(['R-1', 'R-1']);
    expect(await units(`depotId=${valley.toUpperCase()}`)).toEqual(['V-1']);
    expect(await units(`depotId=${valley}&status=cleared`)).toEqual(['V-1']);
    expect(await units(`depotId=${ridge}&kind=rising-loss`)).toEqual([]);
    expect(await units(`depotId=${ridge}&limit=1`)).toEqual(['R-1']);
    const { body } = await fleet.dashboard.get(`/v1/loss-alerts?depotId=${ridge}&limit=1`);
    expect(await units(`depotId=${ridge}&limit=1&cursor=${body.next}`)).toEqual(['R-1']);
    // A cursor of another list is refused.
    const other = await fleet.dashboard.get(`/v1/loss-alerts?depotId=${valley}&limit=1&cursor=${body.next}`);
    expect(other.status).toBe(400);
    expect((await fleet.dashboard.get('/v1/loss-alerts?depotId=Ridge')).body.errors[0].parameter).toBe(
      'depotId',
    );
  });

  it('move with their vehicle', async () => {
    const { vehicleId, depotId } = await postScenario(fleet);
    for (const takenAt of ['2026-03-01T12:00:00Z', '2026-03-13T12:00:00Z']) {
      const topUp = { kind: 'top-up', takenAt, added: { value: 0.4, unit: 'L' }, toMark: true };
      const { status } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, topUp);
      expect(status).toBe(201);
    }
    const move = async (to: string | null): Promise<void> => {
      const { status } = await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { depotId: to });
      expect(status).toBe(200);
    };
    const at = async (): Promise<(string | null)[][]> =>
      Promise.all([depotId, valley].map((id) => units(`depotId=${id}`)));
    expect(await at()).toEqual([['R-114'], []]);
    await move(valley);
    expect(await at()).toEqual([[], ['R-114']]);
    await move(null);
    expect(await at()).toEqual([[], []]);
    expect(await units('')).toEqual(['R-114']);
  });

  it('are shown only to tokens of the depot', async () => {
    await add(ofRidge, 1);
    await add(ofValley, 1);
    const { body } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'wall', role: 'dashboard', depotIds: [valley] },
    });
    const bound = service.client(body.token);
    expect(await units(`depotId=${valley}`, bound)).toEqual(['V-1']);
    expect(await units(`depotId=${ridge}`, bound)).toEqual([]);
  });

  it.each([
    [{}, 'loss_alerts_depot_ix'],
    [{ status: 'raised' }, 'loss_alerts_depot_ix'],
    [{ status: 'cleared' }, 'loss_alerts_depot_cleared_ix'],
  ] as [LossAlertFilters, string][])('are read from an index of their own: %j', async (asked, index) => {
    await add(ofRidge, MANY);
    await add(ofRidge, MANY, 'cleared');
    await add(ofValley, 5);
    await add(ofValley, 5, 'cleared');
    const { admin } = service.database;
    await admin.query('analyze loss_alerts');
    let statement = { text: '', values: [] as unknown[] };
    const manager = { query: (text: string, values: unknown[]) => ((statement = { text, values }), []) };
    await lossAlertRows(
      manager as never,
      fleet.fleetId,
      new Date(NOW),
      { ...asked, depotId: valley },
      null,
      51,
    );
    const values = statement.values.map((value) => (value instanceof Date ? value.toISOString() : value));
    const cost = await costOf(admin, fleet.fleetId, { ...statement, values }, 'force_custom_plan');
    expect([cost.rows, cost.indexes.filter((name) => name.startsWith('loss_alerts'))]).toEqual([5, [index]]);
    expect(cost.rowsRemoved).toBeLessThan(10);
  });
});
