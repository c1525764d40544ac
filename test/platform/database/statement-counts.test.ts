import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const DAY = 86_400_000;
const VEHICLES = 500;

describe('the number of SQL statements', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let vehicleIds: string[];
  let lonely: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet({ units: 'si' });
    scenario = await postScenario(fleet);
    [lonely, ...vehicleIds] = (await addVehicles(VEHICLES + 1)) as [string, ...string[]];
  });
  afterAll(() => service.stop());

  /** Creates vehicles in their state after posting, many at a time. */
  async function addVehicles(count: number): Promise<string[]> {
    const { rows } = await service.database.admin.query<{ id: string }>(
      `with added as (
         insert into vehicles (fleet_id, id, unit_number, depot_id, spec_sheet_id, interval_plan_id, duty, status, in_service_on, in_service_odometer_km)
         select $1, gen_random_uuid(), 'S-' || n, $2, $3, $4, 'normal', 'in-use', '2024-01-01', 0 from generate_series(1, $5::int) n
         returning *),
       assigned as (
         insert into vehicle_assignments (fleet_id, id, vehicle_id, effective_on, depot_id, spec_sheet_id, interval_plan_id, duty, status)
         select fleet_id, gen_random_uuid(), id, '1950-01-01', depot_id, spec_sheet_id, interval_plan_id, duty, status from added)
       select id from added`,
      [fleet.fleetId, scenario.depotId, scenario.specSheetId, scenario.intervalPlanId, count],
    );
    return rows.map((row) => row.id);
  }

  /** Returns the statements that the service sends to its tables before it answers. */
  async function statementsOf(
    request: () => Promise<Answer>,
  ): Promise<{ answer: Answer; statements: string[] }> {
    const statements: string[] = [];
    const listen = (text: string) => void statements.push(text);
    statementListeners.add(listen);
    try {
      return { answer: await request(), statements };
    } finally {
      statementListeners.delete(listen);
    }
  }

  /** Readings of the given vehicles, one a day up to `until`, the same number for each. */
  function batch(ids: string[], each: number, until: string, kmAtEnd: number): object {
    const readings = ids.flatMap((vehicleId) =>
      Array.from({ length: each }, (_, day) => ({
        vehicleId,
        readAt: new Date(Date.parse(until) - (each - 1 - day) * DAY).toISOString(),
        odometer: { value: kmAtEnd - (each - 1 - day) * 60, unit: 'km' },
      })),
    );
    return { readings };
  }

  const post = (body: object) => () => fleet.mechanic.post('/v1/usage-readings', body);
  // The order matters: each case continues where the one before it ended. The one vehicle gets the
  // same readings as each of the five hundred.
  it.each([
    ['for the first time', '2026-03-20T10:00:00Z', 30_000, 'accepted'],
    ['sent again', '2026-03-20T10:00:00Z', 30_000, 'duplicate'],
    ['that goes on', '2026-04-01T10:00:00Z', 30_720, 'accepted'],
    ['that comes late', '2026-02-20T10:00:00Z', 28_320, 'accepted'],
    ['of which all are held', '2026-04-02T11:00:00Z', 9000, 'held'],
  ])(
    'is the same for 5 usage readings of one vehicle and for 5,000 of five hundred: a batch %s',
    async (_what, until, km, outcome) => {
      const few = await statementsOf(post(batch([lonely], 5, until, km)));
      const many = await statementsOf(post(batch(vehicleIds, 10, until, km)));
      for (const [count, { answer }] of [
        [5, few],
        [5000, many],
      ] as const) {
        expect([answer.status, answer.body.results.length, answer.body.rejected]).toEqual([200, count, 0]);
        expect(answer.body[outcome]).toBeGreaterThan(0);
      }
      expect(many.statements).toEqual(few.statements);
      expect(many.statements.length).toBeLessThanOrEqual(13);
    },
  );

  it('is the same for 10 coolant temperatures of one vehicle and for 5,000 of five hundred', async () => {
    const ofDays = (ids: string[], celsius: number) => ({
      samples: ids.flatMap((vehicleId) =>
        Array.from({ length: 10 }, (_, day) => ({
          ...{ vehicleId, readAt: new Date(Date.parse(NOW) - day * DAY - 3_600_000).toISOString() },
          temperature: { value: celsius, unit: 'C' },
        })),
      ),
    });
    const send = (body: object) => () => fleet.mechanic.post('/v1/coolant-temperatures', body);
    for (const [celsius, most] of [
      [90, 8],
      [91, 8],
      [91, 7],
    ] as const) {
      const few = await statementsOf(send(ofDays([lonely], celsius)));
      const many = await statementsOf(send(ofDays(vehicleIds, celsius)));
      expect([few, many].map(({ answer }) => [answer.status, answer.body.accepted])).toEqual([
        [200, 10],
        [200, 5000],
      ]);
      expect(many.statements).toEqual(few.statements);
      expect(many.statements.length).toBeLessThanOrEqual(most);
    }
  });

  it('of a job report is at most 15, and does not grow with the history of the vehicle', async () => {
    const [vehicleId] = vehicleIds as [string];
    const counts: number[] = [];
    for (let day = 1; day <= 12; day++) {
      service.clock.moveTo(new Date(Date.parse(NOW) + day * DAY));
      const at = new Date(Date.parse(NOW) + day * DAY - 3_600_000).toISOString();
      const { answer, statements } = await statementsOf(() =>
        fleet.mechanic.post('/v1/job-reports', goodJob(vehicleId, at, 19_100 + day * 40)),
      );
      expect([answer.status, answer.body.readings.length]).toEqual([201, 8]);
      counts.push(statements.length);
    }
    service.clock.moveTo(NOW);
    expect(Math.max(...counts)).toBeLessThanOrEqual(15);
    expect(Math.max(...counts.slice(6))).toBeLessThanOrEqual(Math.max(...counts.slice(0, 6)));
  });

  it.each([
    ['/v1/due-list?state=late,due,window,not-due', 4],
    ['/v1/vehicles', 3],
    ['/v1/usage-readings?status=accepted', 3],
    ['/v1/job-reports', 6],
    ['/v1/loss-alerts', 4],
    [`/v1/vehicles/{id}/history`, 5],
    [`/v1/vehicles/{id}/readings`, 4],
    [`/v1/vehicles/{id}/coolant-temperatures`, 3],
  ])('of a page of %s does not grow with the page', async (path, most) => {
    const url = path.replace('{id}', vehicleIds[0] as string);
    const join = url.includes('?') ? '&' : '?';
    const small = await statementsOf(() => fleet.dashboard.get(`${url}${join}limit=1`));
    const large = await statementsOf(() => fleet.dashboard.get(`${url}${join}limit=200`));
    expect([small.answer.status, large.answer.status]).toEqual([200, 200]);
    if (!path.includes('loss-alerts')) expect(large.answer.body.items.length).toBeGreaterThan(5);
    expect(large.statements.length).toBe(small.statements.length);
    expect(large.statements.length).toBeLessThanOrEqual(most);
  });
});
