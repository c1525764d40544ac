import { postScenario, SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { type Receiver, startReceiver } from '../../support/receiver.js';
import { firstStepsStatement } from '../../../src/register/first-steps/first-steps.queries.js';
import { costOf } from '../../support/plans.js';

describe('the first steps of a fleet', () => {
  let service: Service;
  let receiver: Receiver;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    receiver = await startReceiver();
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
  });
  afterAll(async () => {
    await receiver.close();
    await service.stop();
  });

  const steps = async () => (await fleet.manager.get('/v1/first-steps')).body;
  const undone = async (): Promise<string[]> =>
    (await steps()).items.flatMap(({ step, done }: any) => (done ? [] : [step]));

  it('are all there for an empty fleet, in order, each with why and with what does it', async () => {
    const { done, next, items } = await steps();
    expect([done, next]).toEqual([false, 'depot']);
    expect(items.map(({ step }: any) => step)).toEqual([
      ...['depot', 'vehicles', 'sheets', 'plans', 'usage', 'target', 'target-test', 'second-person'],
      'ready-made',
    ]);
    const { paths } = (await fleet.manager.get('/openapi.json')).body;
    for (const { why, routes } of items) {
      expect(why.text.length).toBeGreaterThan(30);
      for (const { method, path } of routes)
        expect([path, Object.keys(paths[path] ?? {})]).toEqual([
          path,
          expect.arrayContaining([method.toLowerCase()]),
        ]);
    }
    const spanish = await fleet.manager.get('/v1/first-steps', { 'accept-language': 'es' });
    expect(spanish.body.items[0].why.text).toMatch(/^El patio/);
  });

  it('are done one after the other, the last by a test that arrived and a second person', async () => {
    const { vehicleId } = await postScenario(fleet);
    expect(await undone()).toEqual(['usage', 'target', 'target-test', 'second-person']);
    await fleet.mechanic.post('/v1/usage-readings', {
      readings: [{ vehicleId, readAt: '2026-04-01T10:00:00Z', odometer: { value: 9000, unit: 'mi' } }],
    });
    // The mechanic's token has been used.
    expect(await undone()).toEqual(['target', 'target-test']);
    const target = await fleet.manager.post('/v1/reminder-targets', {
      kind: 'webhook',
      address: receiver.url,
    });
    expect(await undone()).toEqual(['target-test']);
    const path = `/v1/reminder-targets/${target.body.id}`;
    expect((await fleet.manager.post(`${path}/test`)).body.delivered).toBe(true);
    expect(await undone()).toEqual([]);
    expect(await steps()).toMatchObject({ done: true, next: null });
    await fleet.manager.patch(path, { address: `${receiver.url}/elsewhere` });
    expect(await undone()).toEqual(['target-test']);
    await fleet.manager.delete(path);
    expect(await undone()).toEqual(['target', 'target-test']);
  });

  it('count the vehicles without a sheet or a plan, but not those that are gone', async () => {
    const { specSheetId, intervalPlanId } = await postScenario(fleet);
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'N-1', specSheetId });
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'N-2', intervalPlanId });
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'N-3', status: 'disposed' });
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'N-4' });
    const found = new Map((await steps()).items.map((item: any) => [item.step, item]));
    expect(found.get('sheets')).toMatchObject({ done: false, vehiclesLacking: { count: 2, orMore: false } });
    expect(found.get('plans')).toMatchObject({ done: false, vehiclesLacking: { count: 2, orMore: false } });
    expect(found.get('depot')).toMatchObject({ done: true, vehiclesLacking: null });
  });

  it('name what is still ready-made until it is confirmed', async () => {
    const taken = await fleet.manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
    const { specSheet, intervalPlan } = taken.body.items[0];
    expect(await undone()).toContain('ready-made');
    await fleet.manager.post(`/v1/spec-sheets/${specSheet.id}/confirm`);
    expect(await undone()).toContain('ready-made');
    await fleet.manager.post(`/v1/interval-plans/${intervalPlan.id}/confirm`);
    expect(await undone()).not.toContain('ready-made');
    await fleet.manager.post('/v1/spec-sheets', { ...SPEC_SHEET, name: 'Typed' });
    expect(await undone()).not.toContain('ready-made');
  });

  it('look at 200 vehicles at most, and say so', async () => {
    await service.database.admin.query(
      `insert into vehicles (fleet_id, id, unit_number, duty, status)
       select $1, gen_random_uuid(), 'M-' || n, 'normal', 'in-use' from generate_series(1, 1500) n`,
      [fleet.fleetId],
    );
    await service.database.admin.query('analyze vehicles');
    const found = new Map((await steps()).items.map((item: any) => [item.step, item]));
    expect(found.get('sheets')).toMatchObject({ done: false, vehiclesLacking: { count: 200, orMore: true } });
    const statement = firstStepsStatement(
      fleet.fleetId,
      { tokenId: null, personId: null },
      service.clock.now(),
    );
    const cost = await costOf(service.database.admin, fleet.fleetId, statement, 'force_custom_plan');
    expect([cost.buffers < 200, cost.rowsRemoved < 50, cost.text]).toEqual([true, true, cost.text]);
  });
});
