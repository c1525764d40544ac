import { createFleet } from '../../../src/register/fleets/create-fleet.js';
import { ConclusionsService } from '../../../src/conclusions/pipeline/conclusions.service.js';
import type { Touched } from '../../../src/conclusions/load/touched-vehicles.queries.js';
import { fleetScope } from '../../../src/platform/scope/fleet-scope.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

describe('the fleet', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
  });
  beforeEach(async () => {
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
  });
  afterAll(() => service.stop());

  /** Listens in on what is refreshed; the refresh itself still happens. */
  function listenIn(): { touched: Touched; timeZone: string }[] {
    const heard: { touched: Touched; timeZone: string }[] = [];
    const conclusions = service.app.get(ConclusionsService, { strict: false });
    const own = conclusions.refreshTouched.bind(conclusions);
    jest.spyOn(conclusions, 'refreshTouched').mockImplementation((tx, touched) => {
      heard.push({ touched, timeZone: fleetScope().timeZone });
      return own(tx, touched);
    });
    return heard;
  }

  it('is shown to every role that reads, and changed only by a manager', async () => {
    for (const client of [fleet.manager, fleet.mechanic, fleet.dashboard]) {
      const read = await client.get('/v1/fleet');
      expect(read.status).toBe(200);
      expect(read.body).toEqual({
        id: fleet.fleetId,
        name: expect.any(String),
        driverLabels: 'none',
        timeZone: 'America/Denver',
        units: 'us',
        language: 'en',
        defaults: expect.objectContaining({ freezeMarginC: 3, torqueTolerancePercent: 10 }),
        version: 1,
      });
      expect(read.headers.get('etag')).toBe('"1"');
    }
    expect((await fleet.mechanic.patch('/v1/fleet', { name: 'No' })).status).toBe(403);
    expect((await fleet.dashboard.patch('/v1/fleet', { name: 'No' })).status).toBe(403);
    expect((await service.client(null).get('/v1/fleet')).status).toBe(401);
  });

  it('changes by merge patch under If-Match', async () => {
    const changed = await fleet.manager.patch(
      '/v1/fleet',
      { name: '  Ridge county  ' },
      { 'if-match': '"1"', 'content-type': 'application/merge-patch+json' },
    );
    expect(changed.status).toBe(200);
    expect(changed.body).toMatchObject({
      name: 'Ridge county',
      timeZone: 'America/Denver',
      units: 'us',
      version: 2,
    });
    expect(changed.headers.get('etag')).toBe('"2"');
    const stale = await fleet.manager.patch('/v1/fleet', { name: 'Late' }, { 'if-match': '"1"' });
    expect(stale.status).toBe(412);
    expect((await fleet.manager.get('/v1/fleet')).body.name).toBe('Ridge county');
  });

  it('answers in the chosen units from the next request on', async () => {
    const { body: depot } = await fleet.manager.post('/v1/depots', {
      name: 'Ridge',
      elevation: { value: 1500, unit: 'm' },
    });
    expect(depot.elevation.unit).toBe('ft');
    await fleet.manager.patch('/v1/fleet', { units: 'si' });
    const read = await fleet.dashboard.get(`/v1/depots/${depot.id}`);
    expect(read.body.elevation).toEqual({ value: 1500, unit: 'm' });
  });

  it('refreshes every vehicle when the time zone changes, and not otherwise', async () => {
    const heard = listenIn();
    await fleet.manager.patch('/v1/fleet', { name: 'Same zone', timeZone: 'America/Denver' });
    expect(heard).toEqual([]);
    const moved = await fleet.manager.patch('/v1/fleet', { timeZone: 'America/Anchorage' });
    expect(moved.status).toBe(200);
    expect(heard).toEqual([{ touched: 'all', timeZone: 'America/Anchorage' }]);
    expect((await fleet.mechanic.get('/v1/fleet')).body.timeZone).toBe('America/Anchorage');
  });

  it.each([
    ['Mars/Olympus', 'which is not known'],
    ['-07:00', 'knows no daylight saving time'],
    ['MST', 'knows no daylight saving time'],
    ['UTC-7', 'knows no daylight saving time'],
    ['america/denver', 'it is written America/Denver'],
    ['', 'a time zone by its IANA name is needed'],
    [7, 'a time zone by its IANA name is needed'],
    [null, 'is required'],
  ])('refuses %j as a time zone, with an example', async (timeZone, because) => {
    const refused = await fleet.manager.patch('/v1/fleet', { timeZone });
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([
      { pointer: '/timeZone', detail: expect.stringContaining(because) },
    ]);
    expect(refused.body.errors[0].detail).toContain('America/Denver');
    expect((await fleet.manager.get('/v1/fleet')).body.version).toBe(1);
  });

  it('refuses a time zone that the database does not know or spells differently, because it counts days, too', async () => {
    // Node still knows the first, and takes an old name in any case of its letters.
    for (const [timeZone, because] of [
      ['US/Pacific-New', /which the database does not know|which is not known/],
      ['us/pacific', /it is written US\/Pacific/],
    ] as const) {
      const { status, body } = await fleet.manager.patch('/v1/fleet', { timeZone });
      const errors = [{ pointer: '/timeZone', detail: expect.stringMatching(because) }];
      expect([timeZone, status, inText(body.errors)]).toEqual([timeZone, 422, errors]);
      const made = createFleet(service.database.url, { name: 'New', timeZone, units: 'si' });
      await expect(made).rejects.toThrow(`--time-zone is "${timeZone}"`);
    }
    const { body: vehicle } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'Z-1', inServiceOn: '2021-03-15' },
    });
    expect((await fleet.manager.get(`/v1/vehicles/${vehicle.id}/history`)).status).toBe(200);
  });

  it('refuses unknown units, a blank name, unknown fields and a patch that is no object', async () => {
    for (const [patch, pointer] of [
      [{ units: 'imperial' }, '/units'],
      [{ name: '   ' }, '/name'],
      [{ id: fleet.fleetId }, '/id'],
      [{ version: 9 }, '/version'],
    ] as const) {
      const refused = await fleet.manager.patch('/v1/fleet', patch);
      expect(refused.status).toBe(422);
      expect(refused.body.errors.map((error: any) => error.pointer)).toEqual([pointer]);
    }
    expect((await fleet.manager.patch('/v1/fleet', [])).status).toBe(422);
    expect((await fleet.manager.patch('/v1/fleet', 'x')).status).toBe(422);
  });

  it('takes UTC, and a zone with three parts', async () => {
    for (const timeZone of ['UTC', 'America/Indiana/Knox', 'Asia/Kolkata']) {
      const changed = await fleet.manager.patch('/v1/fleet', { timeZone });
      expect(changed.body.timeZone).toBe(timeZone);
    }
  });

  it('sets its own defaults for common practice, and judges readings by them from then on', async () => {
    const { body: vehicle } = await fleet.manager.post('/v1/vehicles', {
      unitNumber: 'D-1',
      designLowTemperature: { value: -32, unit: 'C' },
    });
    const read = () =>
      fleet.mechanic.post(`/v1/vehicles/${vehicle.id}/readings`, {
        kind: 'freeze-point',
        takenAt: '2026-04-01T12:00:00Z',
        base: 'ethylene-glycol',
        scale: 'ethylene-glycol',
        method: 'refractometer',
        value: { value: -37, unit: 'C' },
      });
    // -37 °C ± 1 °C against -32 °C: enough with a margin of 3 °C, not with one of 6 °C (both by
    // hand).
    expect((await read()).body.evaluation.verdict).toBe('pass');
    const changed = await fleet.manager.patch('/v1/fleet', { defaults: { freezeMarginC: 6 } });
    expect(changed.body.defaults).toMatchObject({ freezeMarginC: 6, hotCoolantC: 40 });
    expect((await read()).body.evaluation.verdict).not.toBe('pass');
    const first = await fleet.dashboard.get(`/v1/vehicles/${vehicle.id}/readings`);
    expect(first.body.items.map((item: any) => item.evaluation.verdict)).toContain('pass');
    expect(
      (await fleet.manager.patch('/v1/fleet', { defaults: { freezeMarginC: null } })).body.defaults
        .freezeMarginC,
    ).toBe(3);
    const refused = await fleet.manager.patch('/v1/fleet', { defaults: { freezeMarginC: 6000, colour: 1 } });
    expect(refused.body.errors.map((fault: any) => fault.pointer).toSorted()).toEqual([
      '/defaults/colour',
      '/defaults/freezeMarginC',
    ]);
  });

  // 0.6 L in 2,000 km, twice: 4.35 standard deviations off the line where a level is known to ±0.15
  // L (by hand in rising-loss.test.ts), and about one where it
  // is known to ±0.75 L.
  it('sets how accurately levels are read, and the loss watch judges again by it', async () => {
    const { body: vehicle } = await fleet.manager.post('/v1/vehicles', { unitNumber: 'D-2' });
    for (const [day, km, litres] of [
      ['01', 10_000, 0],
      ['15', 12_000, 0.6],
      ['29', 14_000, 1.2],
    ] as const) {
      const posted = await fleet.mechanic.post(`/v1/vehicles/${vehicle.id}/readings`, {
        kind: 'level-check',
        takenAt: `2026-03-${day}T06:00:00Z`,
        odometer: { value: km, unit: 'km' },
        belowMark: { value: litres, unit: 'L' },
        engineCold: true,
      });
      expect(posted.status).toBe(201);
    }
    const kinds = async () => {
      const { body } = await fleet.dashboard.get(`/v1/loss-alerts?vehicleId=${vehicle.id}`);
      return body.items.map((alert: any) => alert.kind);
    };
    expect(await kinds()).toEqual(['rising-loss']);
    await fleet.manager.patch('/v1/fleet', { defaults: { levelUncertaintyL: 0.75 } });
    expect(await kinds()).toEqual([]);
    await fleet.manager.patch('/v1/fleet', { defaults: { levelUncertaintyL: null } });
    expect(await kinds()).toEqual(['rising-loss']);
  });
});
