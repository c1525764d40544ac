import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { vinOf } from '../../support/telematics/machines.js';
import { Sources } from '../../support/telematics/sources.js';

describe('a held reading of a new counter', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;
  let report: (at: string, hours: number, kilometres?: number) => Promise<void>;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-09T12:00:00Z' });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    const sources = new Sources(service, fleet);
    vehicleId = await sources.vehicle({ unitNumber: 'V', serialNumber: vinOf(1) });
    const id = await sources.add({ name: 'Box', kind: 'push' });
    report = async (at, hours, kilometres) => {
      const reading = {
        ...{ at: `2026-04-${at}:00:00Z`, engineHours: { value: hours, unit: 'h' } },
        ...(kilometres === undefined ? {} : { odometer: { value: kilometres, unit: 'km' } }),
      };
      const { status } = await fleet.manager.post(`/v1/telematics-sources/${id}/reports`, {
        machines: [{ vin: vinOf(1), readings: [reading] }],
      });
      if (status !== 200) throw new Error(`the report was answered ${status}`);
    };
  });

  const held = async () => (await fleet.manager.get('/v1/usage-readings?status=held')).body.items;
  const decide = (id: string, action: string, body?: object) =>
    fleet.manager.post(`/v1/usage-readings/${id}/${action}`, body);
  const lifetimes = async () =>
    (
      await service.database.admin.query(
        `select status, odometer_lifetime_km as km, engine_hours_lifetime as h from usage_readings
         where vehicle_id = $1 order by read_at`,
        [vehicleId],
      )
    ).rows.map(({ status, km, h }: any) => `${status} ${km} km ${h} h`);
  const differences = async () => {
    const { url: databaseUrl } = service.database;
    const found = await rebuildAll({ databaseUrl, schema, clock: service.clock, fleetIds: [fleet.fleetId] });
    return found.differences.map(({ what }) => what);
  };

  it('says what can be done about a machine that reports by itself', async () => {
    await report('01T06', 8400);
    await report('02T06', 8410);
    await report('03T06', 2);
    await report('04T06', 9000);
    const [ahead, back] = await held();
    expect(back.detail).toMatchObject({
      code: 'usage-device-went-back',
      text: 'The hour counter shows 2 h, 8,408 h less than the 8,410 h of 1 day earlier (telematics). If the machine has a new counter, accept this reading with replaced: true. If only the device is new, wait: after a day its readings count again.',
    });
    expect(ahead.detail.text).toMatch(
      /^The hour counter shows 9,000 h, 590 h more .* is not plausible\. If the machine has a new counter, /,
    );
  });

  it('starts a new counter when it is accepted as replaced, and later readings follow it', async () => {
    await report('01T06', 8400, 50_000);
    await report('02T06', 8410, 50_100);
    await report('03T06', 2, 50_200);
    await report('03T13', 5, 50_230);
    const [later, first] = await held();
    const answer = await decide(first.id, 'accept', { replaced: true });
    expect([answer.status, answer.body]).toMatchObject([
      200,
      { status: 'accepted', engineHoursReplaced: true, odometerReplaced: false, detail: null },
    ]);
    await report('04T06', 11, 50_300);
    const expected = [
      'accepted 50000 km 8400 h',
      'accepted 50100 km 8410 h',
      'accepted 50200 km 8410 h',
      'accepted 50230 km 8413 h',
      'accepted 50300 km 8419 h',
    ];
    expect(await lifetimes()).toEqual(expected);
    expect(await held()).toEqual([]);
    expect((await decide(first.id, 'accept', { replaced: true })).status).toBe(200);
    const settled = await decide(later.id, 'accept', { replaced: true });
    expect([settled.status, settled.body.type]).toEqual([409, expect.stringMatching(/already-settled$/)]);
    expect(await lifetimes()).toEqual(expected);
    expect(await differences()).toEqual([]);
  });

  it('counts as if it had been posted with the fact, in whichever order they arrive', async () => {
    const post = (day: number, hours: number, more = {}) => {
      const engineHours = { value: hours, unit: 'h' };
      const readAt = `2026-04-0${day}T06:00:00Z`;
      const reading = { vehicleId, readAt, engineHours, source: 'telematics', ...more };
      return fleet.manager.post('/v1/usage-readings', { readings: [reading] });
    };
    await post(3, 2, { engineHoursReplaced: true });
    await post(4, 11);
    await post(1, 8400);
    const whenPosted = await lifetimes();
    const machine = { unitNumber: 'W', serialNumber: vinOf(2) };
    vehicleId = (await fleet.manager.post('/v1/vehicles', machine)).body.id;
    await post(1, 8400);
    await post(3, 2);
    await decide((await held())[0].id, 'accept', { replaced: true });
    await post(4, 11);
    expect(await lifetimes()).toEqual(whenPosted);
    expect(whenPosted).toEqual([
      'accepted null km 8400 h',
      'accepted null km 8400 h',
      'accepted null km 8409 h',
    ]);
  });

  it('cannot be said of an instant that is ahead, nor after it was accepted', async () => {
    await report('01T06', 8400);
    const { body } = await fleet.manager.post('/v1/usage-readings', {
      readings: [
        { vehicleId, readAt: '2026-04-30T06:00:00Z', engineHours: { value: 3, unit: 'h' } },
        { vehicleId, readAt: '2026-04-02T06:00:00Z', engineHours: { value: 8405, unit: 'h' } },
      ],
    });
    const [ahead, fine] = body.results;
    const refused = await decide(ahead.id, 'accept', { replaced: true });
    expect([refused.status, refused.body.errors]).toMatchObject([
      422,
      [{ pointer: '/replaced', code: 'usage-replaced-ahead' }],
    ]);
    expect((await decide(ahead.id, 'accept', { replaced: 'yes' })).status).toBe(422);
    expect((await decide(fine.id, 'accept', { replaced: true })).status).toBe(409);
    expect((await decide(ahead.id, 'accept', { replaced: false })).body).toMatchObject({
      ...{ status: 'accepted', engineHoursReplaced: false },
    });
    expect((await decide(ahead.id, 'accept', { replaced: true })).status).toBe(409);
  });
});
