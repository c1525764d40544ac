import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { textsIn } from '../../support/english.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const freezePoint = (takenAt: string, celsius: number) => ({
  kind: 'freeze-point',
  takenAt,
  odometer: { value: 20_000, unit: 'mi' },
  base: 'ethylene-glycol',
  scale: 'ethylene-glycol',
  method: 'refractometer',
  value: { value: celsius, unit: 'C' },
});

// 50 % ethylene glycol by volume freezes at -37.0 °C and is asked for at 40 to 60 % (ASHRAE 2001,
// ASTM D6210); a refractometer is good to ±1 °C
// (ASTM D3321); a margin of 3 °C is common practice. So -37 passes at -30 (needs -33) and fails at
// -38 (needs -41).
describe('a vehicle that moves to a colder place', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let polarId: string;
  let valleyId: string;
  let count = 0;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'si' });
    scenario = await postScenario(fleet);
    const depot = async (name: string, celsius: number): Promise<string> =>
      (
        await fleet.manager.post('/v1/depots', {
          name,
          designLowTemperature: { value: celsius, unit: 'C' },
        })
      ).body.id;
    polarId = await depot('Polar', -38);
    valleyId = await depot('Valley', -20);
  });
  afterAll(() => service.stop());
  beforeEach(() => service.clock.moveTo('2026-04-02T15:00:00Z'));

  async function truck(extra: object = {}): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      unitNumber: `C-${++count}`,
      depotId: scenario.depotId,
      specSheetId: scenario.specSheetId,
      inServiceOn: '2025-04-01',
      inServiceOdometer: { value: 0, unit: 'mi' },
      ...extra,
    });
    expect(status).toBe(201);
    return body.id;
  }

  const read = async (id: string, takenAt: string, celsius: number) =>
    fleet.mechanic.post(`/v1/vehicles/${id}/readings`, freezePoint(takenAt, celsius));
  const move = async (id: string, depotId: string | null) => {
    const { status } = await fleet.manager.patch(`/v1/vehicles/${id}`, { depotId });
    expect(status).toBe(200);
  };
  const readings = async (id: string): Promise<any[]> =>
    (await fleet.dashboard.get(`/v1/vehicles/${id}/readings`)).body.items;
  const followUps = async (id: string): Promise<any[]> =>
    (
      await fleet.dashboard.get(`/v1/due-list?vehicleId=${id}&state=late,due,window,not-due,no-baseline`)
    ).body.items.filter(({ origin }: any) => origin === 'follow-up');

  it('has its latest strength judged again, and is due for adjusting at once; the old verdict stays', async () => {
    const id = await truck();
    const posted = await read(id, '2026-03-20T15:00:00Z', -37);
    expect([posted.body.evaluation.verdict, posted.body.reEvaluations]).toEqual(['pass', []]);
    await move(id, polarId);
    const [reading] = await readings(id);
    expect(reading.evaluation).toEqual(posted.body.evaluation);
    expect(reading.reEvaluations).toMatchObject([
      {
        judgedAt: '2026-04-02T15:00:00.000Z',
        why: 'moved-to-another-depot',
        evaluation: { verdict: 'fail' },
      },
    ]);
    expect(textsIn(reading.reEvaluations[0].evaluation.reasons).join(' ')).toContain('-41 °C');
    expect(await followUps(id)).toMatchObject([
      { component: 'coolant', action: 'adjust', state: 'due', dueOn: '2026-04-02', lateOn: '2026-04-09' },
    ]);
    const history = await fleet.dashboard.get(`/v1/vehicles/${id}/history`);
    expect(history.body.items.find(({ what }: any) => what === 're-evaluation')).toMatchObject({
      readingId: reading.id,
      kind: 'freeze-point',
      verdict: 'fail',
      why: 'moved-to-another-depot',
    });
  });

  it('keeps the limits of both verdicts', async () => {
    const id = await truck();
    await read(id, '2026-03-20T15:00:00Z', -37);
    await move(id, polarId);
    const { rows } = await service.database.admin.query(
      `select (r.limits->>'designLowTemperatureC')::float8 as before, (e.limits->>'designLowTemperatureC')::float8 as after
       from readings r join re_evaluations e on e.reading_id = r.id where r.vehicle_id = $1`,
      [id],
    );
    expect(rows).toEqual([{ before: -30, after: -38 }]);
  });

  it('is settled by a strength that is high enough there, and not by an adjustment alone', async () => {
    const [adjusted, measured] = [await truck(), await truck()];
    for (const id of [adjusted, measured]) {
      await read(id, '2026-03-20T15:00:00Z', -37);
      await move(id, polarId);
      expect(await followUps(id)).toHaveLength(1);
    }
    service.clock.moveTo('2026-04-03T15:00:00Z');
    await fleet.mechanic.post('/v1/job-reports', {
      vehicleId: adjusted,
      performedAt: '2026-04-03T14:00:00Z',
      lines: [{ component: 'coolant', action: 'adjust' }],
    });
    expect(await followUps(adjusted)).toHaveLength(1);
    expect((await read(measured, '2026-04-03T14:00:00Z', -44)).body.evaluation.verdict).toBe('pass');
    expect(await followUps(measured)).toEqual([]);
  });

  it('has it judged again too if the depot’s or its own lowest temperature falls', async () => {
    const own = await fleet.manager.post('/v1/depots', {
      name: 'Pass',
      designLowTemperature: { value: -30, unit: 'C' },
    });
    const [kept, another] = [
      await truck({ depotId: own.body.id }),
      await truck({ depotId: own.body.id, designLowTemperature: { value: -25, unit: 'C' } }),
    ];
    for (const id of [kept, another]) await read(id, '2026-03-20T15:00:00Z', -37);
    await fleet.manager.patch(`/v1/depots/${own.body.id}`, { elevation: { value: 2000, unit: 'm' } });
    expect((await readings(kept))[0].reEvaluations).toEqual([]);
    await fleet.manager.patch(`/v1/depots/${own.body.id}`, {
      designLowTemperature: { value: -38, unit: 'C' },
    });
    expect((await readings(kept))[0].reEvaluations).toMatchObject([
      { why: 'depot-low-temperature', evaluation: { verdict: 'fail' } },
    ]);
    // The vehicle's own lowest temperature comes before its depot's.
    expect((await readings(another))[0].reEvaluations).toEqual([]);
    await fleet.manager.patch(`/v1/vehicles/${another}`, { designLowTemperature: { value: -40, unit: 'C' } });
    expect((await readings(another))[0].reEvaluations).toMatchObject([
      { why: 'vehicle-low-temperature', evaluation: { verdict: 'fail' } },
    ]);
    expect((await followUps(kept)).length + (await followUps(another)).length).toBe(2);
  });

  it('gets no new verdict where it is milder, except one that lifts a fail', async () => {
    const id = await truck();
    await read(id, '2026-03-20T15:00:00Z', -37);
    await move(id, valleyId);
    expect((await readings(id))[0].reEvaluations).toEqual([]);
    await move(id, polarId);
    service.clock.moveTo('2026-04-03T15:00:00Z');
    await move(id, scenario.depotId);
    expect((await readings(id))[0].reEvaluations.map(({ evaluation }: any) => evaluation.verdict)).toEqual([
      'fail',
      'pass',
    ]);
    expect(await followUps(id)).toEqual([]);
  });

  it('gets no verdict if the strength of the present coolant was never read', async () => {
    const never = await truck();
    await move(never, polarId);
    expect(await readings(never)).toEqual([]);
    const replaced = await truck();
    await read(replaced, '2026-03-20T15:00:00Z', -37);
    await fleet.mechanic.post('/v1/job-reports', {
      vehicleId: replaced,
      performedAt: '2026-03-25T15:00:00Z',
      lines: [{ component: 'coolant', action: 'replace' }],
    });
    await move(replaced, polarId);
    expect((await readings(replaced))[0].reEvaluations).toEqual([]);
  });

  it('loses a verdict on a strength that proves, by a late reading, not to have been the latest', async () => {
    const id = await truck();
    await read(id, '2026-03-20T15:00:00Z', -37);
    await move(id, polarId);
    expect(await followUps(id)).toHaveLength(1);
    // Taken before the move, sent after it: judged by where the vehicle is now.
    expect((await read(id, '2026-03-30T15:00:00Z', -44)).body.evaluation.verdict).toBe('pass');
    expect(await followUps(id)).toEqual([]);
  });

  it('has the change placed on its usage, even as readings come in later', async () => {
    const id = await truck();
    const usage = (readAt: string, value: number) => ({
      vehicleId: id,
      readAt,
      odometer: { value, unit: 'mi' },
    });
    await fleet.mechanic.post('/v1/usage-readings', {
      readings: Array.from({ length: 14 }, (_, week) =>
        usage(
          new Date(Date.parse('2026-04-02T14:00:00Z') - week * 7 * 86_400_000).toISOString(),
          20_000 - week * 280,
        ),
      ),
    });
    await read(id, '2026-03-26T15:00:00Z', -37);
    await move(id, polarId);
    service.clock.moveTo('2026-04-20T15:00:00Z');
    await fleet.mechanic.post('/v1/usage-readings', { readings: [usage('2026-04-16T14:00:00Z', 21_400)] });
    const { rows } = await service.database.admin.query<{ mi: number }>(
      'select round((odometer_lifetime_km / 1.609344)::numeric, 1)::float8 as mi from re_evaluations where vehicle_id = $1',
      [id],
    );
    // An hour of fourteen days on which 1,400 mi were run.
    expect(rows).toEqual([{ mi: 20_004.2 }]);
    // 500 km (311 mi) after that it is late: on 5 April, at 100 mi a day; it is a week by the
    // calendar.
    expect(await followUps(id)).toMatchObject([{ action: 'adjust', lateOn: '2026-04-05', state: 'late' }]);
  });

  it('finds no difference in a rebuild from history', async () => {
    service.clock.moveTo('2026-04-21T15:00:00Z');
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.vehicles).toBeGreaterThan(8);
    expect(result.differences).toEqual([]);
  });
});
