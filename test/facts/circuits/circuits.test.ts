import { pressureTest } from '../../support/findings-at-once.js';
import { BATTERY_CIRCUIT, HYBRID_PLAN, HYBRID_SHEET } from '../../support/hybrid.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('a vehicle with two coolant circuits', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let vehicleId: string;
  let sheetId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
    sheetId = (await fleet.manager.post('/v1/spec-sheets', HYBRID_SHEET)).body.id;
    const plan = await fleet.manager.post('/v1/interval-plans', HYBRID_PLAN);
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'H-7', depotId: scenario.depotId, specSheetId: sheetId },
      ...{ intervalPlanId: plan.body.id, duty: 'normal', inServiceOn: '2021-03-15' },
    });
    vehicleId = vehicle.body.id;
  });
  afterAll(() => service.stop());

  const linesOf = async (id = vehicleId): Promise<any[]> => {
    const states = 'state=not-due,window,due,late,no-baseline';
    return (await fleet.dashboard.get(`/v1/due-list?vehicleId=${id}&${states}`)).body.items;
  };
  const inWords = async (id = vehicleId): Promise<string[]> =>
    (await linesOf(id))
      .map(({ component, action, circuit, lastDone, origin }) =>
        [component, action, circuit ?? '-', origin === 'interval' ? (lastDone?.on ?? '') : 'opened'].join(
          ' ',
        ),
      )
      .sort();
  const job = (content: Record<string, unknown>) =>
    fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt: '2026-04-01T18:00:00Z' },
      ...content,
    });
  const differences = async (): Promise<unknown[]> =>
    (
      await rebuildAll({
        ...{ databaseUrl: service.database.url, schema, clock: service.clock, fleetIds: [fleet.fleetId] },
      })
    ).differences;

  it('has a due line for each circuit, named; a vehicle with one circuit has no name and no line for others', async () => {
    expect(await inWords()).toEqual([
      'coolant replace battery 2021-03-15',
      'coolant replace engine 2021-03-15',
      'drive-belt inspect - 2021-03-15',
    ]);
    const other = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'R-8', specSheetId: scenario.specSheetId, duty: 'normal', inServiceOn: '2021-03-15' },
      intervalPlanId: (await fleet.manager.get('/v1/interval-plans')).body.items.find(
        ({ name }: any) => name === HYBRID_PLAN.name,
      ).id,
    });
    expect(await inWords(other.body.id)).toEqual([
      'coolant replace - 2021-03-15',
      'drive-belt inspect - 2021-03-15',
    ]);
  });

  it('counts work in the circuit where it was done, and opens and settles findings there', async () => {
    const flushed = await job({
      lines: [{ component: 'coolant', action: 'replace', circuit: 'battery' }],
      readings: [{ ...pressureTest(12), circuit: 'engine' }],
    });
    expect(flushed.status).toBe(201);
    expect(flushed.body.lines).toMatchObject([{ component: 'coolant', circuit: 'battery' }]);
    expect(flushed.body.readings).toMatchObject([{ kind: 'hold-test', circuit: 'engine' }]);
    expect((await fleet.mechanic.get(`/v1/job-reports/${flushed.body.id}`)).body).toEqual(flushed.body);
    expect(await inWords()).toEqual([
      'coolant recheck battery opened',
      'coolant replace battery 2026-04-01',
      'coolant replace engine 2021-03-15',
      'coolant test engine opened',
      'drive-belt inspect - 2021-03-15',
    ]);
    // A level of the engine's circuit settles nothing of the battery's.
    const level = { kind: 'level-check', level: 'at-max', engineCold: true };
    const post = (circuit: string) =>
      fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{ ...level, circuit, takenAt: '2026-04-02T18:00:00Z' },
      });
    expect((await post('engine')).status).toBe(201);
    expect(await inWords()).toContain('coolant recheck battery opened');
    expect((await post('battery')).body).toMatchObject({ circuit: 'battery' });
    expect(await inWords()).not.toContain('coolant recheck battery opened');
    expect(await differences()).toEqual([]);
  });

  it('judges a reading by the limits of its circuit', async () => {
    const post = async (reading: Record<string, unknown>) => {
      const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        takenAt: '2026-04-02T18:00:00Z',
        ...reading,
      });
      expect(status).toBe(201);
      return body.evaluation.verdict;
    };
    const conductivity = { kind: 'conductivity', conductivityUsPerCm: 140, compensatedTo25C: true };
    expect(await post({ ...conductivity, circuit: 'battery' })).toBe('fail');
    expect(await post(conductivity)).toBeNull();
    // 7 psi is the cap of the battery's circuit, 16 psi the engine's.
    const cap = {
      kind: 'cap-test',
      opensAt: { value: 7, unit: 'psi' },
      holdsAt: { value: 6.5, unit: 'psi' },
    };
    expect(await post({ ...cap, circuit: 'battery' })).toBe('pass');
    expect(await post(cap)).toBe('fail');
    expect(await inWords()).toContain('radiator-cap replace engine opened');
    expect(await differences()).toEqual([]);
  });

  it('judges the readings of a job that are in one circuit together', async () => {
    const level = { kind: 'freeze-point', method: 'refractometer', value: { value: -40, unit: 'C' } };
    const { body } = await job({
      readings: [
        { kind: 'top-up', added: { value: 1, unit: 'L' }, strengthPercent: 0, circuit: 'battery' },
        level,
      ],
    });
    // Water was poured into the battery's circuit: the engine's freeze point does not settle that.
    expect(body.readings).toHaveLength(2);
    expect((await inWords()).filter((line) => line.endsWith('opened'))).toContainEqual(
      expect.stringMatching(/ battery opened$/),
    );
    expect(await differences()).toEqual([]);
  });

  it('says which circuits there are where another is named, and where a part is in none', async () => {
    const refused = await job({
      lines: [
        { component: 'coolant', action: 'replace', circuit: 'cabin' },
        { component: 'drive-belt', action: 'inspect', item: 'accessory', circuit: 'engine' },
      ],
    });
    expect(refused.status).toBe(422);
    expect(refused.body.errors).toMatchObject([
      {
        pointer: '/lines/0/circuit',
        detail:
          "The vehicle's spec sheet has no circuit cabin. It has engine and battery. Name one of them, or add the circuit to the sheet.",
      },
      {
        pointer: '/lines/1/circuit',
        detail: 'drive-belt is not part of a coolant circuit. Leave circuit out.',
      },
    ]);
    const reading = await job({ readings: [{ ...pressureTest(12), circuit: 'cabin' }] });
    expect(reading.body.errors).toMatchObject([{ pointer: '/readings/0/circuit' }]);
    const batch = await fleet.mechanic.post('/v1/job-reports/batch', {
      reports: [
        {
          ...{ vehicleId, performedAt: '2026-04-01T18:00:00Z' },
          lines: [
            { component: 'coolant', action: 'replace', circuit: 'cabin' },
            { component: 'coolant', action: 'inspect' },
          ],
          readings: [{ ...pressureTest(12), circuit: 'cabin' }],
        },
      ],
    });
    expect(batch.body.results[0].report.outcome.held).toMatchObject([
      { pointer: '/lines/0', value: { circuit: 'cabin' } },
      { pointer: '/readings/0', value: { circuit: 'cabin' } },
    ]);
  });

  it('keeps what is open in a circuit that its sheet no longer lists, until it is settled', async () => {
    await job({ readings: [{ ...pressureTest(3), start: { value: 5, unit: 'psi' }, circuit: 'battery' }] });
    const gone = await fleet.manager.patch(`/v1/spec-sheets/${sheetId}`, { otherCircuits: [] });
    expect(gone.status).toBe(200);
    expect(await inWords()).toEqual([
      'coolant replace - 2021-03-15',
      'coolant test battery opened',
      'drive-belt inspect - 2021-03-15',
    ]);
    expect(await differences()).toEqual([]);
    const passed = await job({
      performedAt: '2026-04-02T18:00:00Z',
      readings: [
        { ...pressureTest(5), start: { value: 5, unit: 'psi' }, engineCold: true, circuit: 'battery' },
      ],
    });
    expect(passed.status).toBe(201);
    expect(passed.body.readings[0]).toMatchObject({ circuit: 'battery', evaluation: { verdict: 'pass' } });
    expect(await inWords()).toEqual(['coolant replace - 2021-03-15', 'drive-belt inspect - 2021-03-15']);
    expect(
      (await job({ lines: [{ component: 'coolant', action: 'test', circuit: 'battery' }] })).status,
    ).toBe(422);
    expect(await differences()).toEqual([]);
  });

  it('keeps its lines when the sheet gains a circuit, and names them from then on', async () => {
    const id = scenario.vehicleId;
    const before = await linesOf(id);
    expect(before.every(({ circuit }) => circuit === undefined)).toBe(true);
    const added = await fleet.manager.patch(`/v1/spec-sheets/${scenario.specSheetId}`, {
      otherCircuits: [BATTERY_CIRCUIT],
    });
    expect(added.body.otherCircuits).toMatchObject([
      { circuit: 'battery', coolant: { technology: 'low-conductivity' } },
    ]);
    const after = await linesOf(id);
    expect(after.map((line) => line.id)).toEqual(before.map((line) => line.id));
    expect(new Set(after.map(({ component, circuit }) => `${component} ${circuit}`))).toEqual(
      new Set(['water-pump engine', 'coolant engine', 'drive-belt undefined']),
    );
    expect(await differences()).toEqual([]);
  });
});
