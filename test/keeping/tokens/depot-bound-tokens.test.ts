import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import {
  type Answer,
  type Client,
  type FleetHandle,
  type Service,
  startService,
} from '../../support/service.js';
import { inText } from '../../support/told.js';

/** What a token that is bound to depots sees as the whole fleet's tokens do, and why. */
const SHARED: Record<string, string> = {
  fleets: 'the fleet itself',
  fleet_changes: 'a number',
  due_line_count_days: 'a date, and how many rows',
  interval_plans: 'rules that all depots share',
  spec_sheets: 'what a powertrain needs, for all depots',
  loss_cohorts: 'of spec sheets',
  idempotency_records: 'kept by the content of the request, which the depots are part of',
  reminder_targets: "a manager's business",
  fleet_sweeps: 'a date',
  sweep_requests: 'ids alone, which no answer shows',
  due_list_events: 'ids alone; a stream shows what they stand for by what its token may see',
  attachment_uploads: 'the name of a file that is still arriving',
};

describe('a token bound to depots', () => {
  let service: Service;
  let fleet: FleetHandle;
  let own: Scenario;
  let foreignDepot: string;
  let foreignVehicle: string;
  let ownReport: string;
  let foreignReport: string;
  let bound: Record<'mechanic' | 'dashboard', Client>;

  beforeAll(async () => {
    // Two connections, so that bound and unbound tokens take turns on them.
    service = await startService({ at: '2026-04-02T15:00:00Z', env: { DATABASE_POOL_SIZE: '2' } });
    fleet = await service.newFleet();
    own = await postScenario(fleet);
    const { manager, mechanic } = fleet;
    foreignDepot = (await manager.post('/v1/depots', { name: 'Valley' })).body.id;
    foreignVehicle = (
      await manager.post('/v1/vehicles', {
        ...{ unitNumber: 'V-1', depotId: foreignDepot, specSheetId: own.specSheetId },
        ...{ intervalPlanId: own.intervalPlanId, inServiceOn: '2020-03-15' },
      })
    ).body.id;
    await manager.post('/v1/vehicles', { unitNumber: 'N-1', inServiceOn: '2020-03-15' });
    const reported = (vehicleId: string) =>
      mechanic.post('/v1/job-reports', goodJob(vehicleId, '2026-03-02T10:00:00Z', 9010));
    ownReport = (await reported(own.vehicleId)).body.id;
    foreignReport = (await reported(foreignVehicle)).body.id;
    for (const vehicleId of [own.vehicleId, foreignVehicle]) {
      for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z'])
        await mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
          ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
        });
    }
    bound = { mechanic: await boundTo('mechanic'), dashboard: await boundTo('dashboard') };
  });
  afterAll(() => service.stop());

  async function boundTo(role: string, depotIds = [own.depotId]): Promise<Client> {
    const issued = await fleet.manager.post('/v1/tokens', { name: `Ridge ${role}`, role, depotIds });
    expect([issued.status, issued.body.depotIds]).toEqual([201, depotIds]);
    return service.client(issued.body.token);
  }

  it('lists only the vehicles of its depots, with their due lines, reports and alerts', async () => {
    const seen = async (path: string, unitOf: (item: any) => string) => {
      const all = (await fleet.dashboard.get(path)).body.items.map(unitOf);
      expect(all).toContain(foreignVehicle);
      return new Set((await bound.dashboard.get(path)).body.items.map(unitOf));
    };
    const only = new Set([own.vehicleId]);
    expect(await seen('/v1/vehicles', (vehicle) => vehicle.id)).toEqual(only);
    const states = 'state=late,due,window,not-due,no-baseline';
    expect(await seen(`/v1/due-list?${states}`, (line) => line.vehicle.id)).toEqual(only);
    expect(await seen('/v1/job-reports', (report) => report.vehicleId)).toEqual(only);
    expect(await seen('/v1/loss-alerts', (alert) => alert.vehicle.id)).toEqual(only);
    const depots = await bound.dashboard.get('/v1/depots');
    expect(depots.body.items.map((depot: any) => depot.id)).toEqual([own.depotId]);
  });

  it('counts in the summary what it lists', async () => {
    const all = (await fleet.dashboard.get('/v1/due-list/summary')).body;
    const own = (await bound.dashboard.get('/v1/due-list/summary')).body;
    expect(all.depots.length).toBeGreaterThan(own.depots.length);
    expect(own.depots).toHaveLength(1);
    expect(JSON.stringify(own)).not.toContain(foreignDepot);
  });

  it('finds nothing of another depot, neither to read nor to change', async () => {
    const alert = (await fleet.dashboard.get(`/v1/loss-alerts?vehicleId=${foreignVehicle}`)).body.items[0];
    const line = (
      await fleet.dashboard.get(`/v1/due-list?vehicleId=${foreignVehicle}&state=not-due,late,due`)
    ).body.items[0];
    for (const path of [
      `/v1/vehicles/${foreignVehicle}`,
      `/v1/vehicles/${foreignVehicle}/usage`,
      `/v1/vehicles/${foreignVehicle}/history`,
      `/v1/vehicles/${foreignVehicle}/loss-trend`,
      `/v1/vehicles/${foreignVehicle}/readings`,
      `/v1/vehicles/${foreignVehicle}/job-card?lines=water-pump:replace`,
      `/v1/depots/${foreignDepot}`,
      `/v1/job-reports/${foreignReport}`,
      `/v1/loss-alerts/${alert.id}`,
    ]) {
      expect([path, (await fleet.dashboard.get(path)).status]).toEqual([path, 200]);
      expect([path, (await bound.dashboard.get(path)).status]).toEqual([path, 404]);
      expect([path, (await bound.mechanic.get(path)).status]).toEqual([path, 404]);
    }
    const { mechanic } = bound;
    expect((await mechanic.post(`/v1/loss-alerts/${alert.id}/acknowledge`, {})).status).toBe(404);
    expect(
      (
        await mechanic.post(`/v1/vehicles/${foreignVehicle}/readings`, {
          ...{
            kind: 'top-up',
            takenAt: '2026-03-21T12:00:00Z',
            added: { value: 0.5, unit: 'L' },
            toMark: true,
          },
        })
      ).status,
    ).toBe(404);
    expect(line.id).toBeDefined();
  });

  it('cannot report work on, or usage of, a vehicle of another depot', async () => {
    const report = await bound.mechanic.post(
      '/v1/job-reports',
      goodJob(foreignVehicle, '2026-03-05T10:00:00Z', 9100),
    );
    expect(report.status).toBe(422);
    expect(report.body.errors[0].pointer).toBe('/vehicleId');
    const readings = [foreignVehicle, own.vehicleId].map((vehicleId) => ({
      ...{ vehicleId, readAt: '2026-04-01T10:00:00Z', odometer: { value: 9600, unit: 'mi' } },
    }));
    const usage = await bound.mechanic.post('/v1/usage-readings', { readings });
    expect(usage.body.results.map((result: any) => result.reason ?? result.status)).toEqual([
      'unknown-vehicle',
      'accepted',
    ]);
  });

  it('can report work on its own vehicles, with all consequences', async () => {
    const done = await bound.mechanic.post(
      '/v1/job-reports',
      goodJob(own.vehicleId, '2026-04-01T12:00:00Z', 9610),
    );
    expect(done.status).toBe(201);
    expect(done.body.outcome.resets.length).toBeGreaterThan(0);
    expect((await bound.mechanic.get(`/v1/job-reports/${done.body.id}`)).status).toBe(200);
    const { rebuildAll } = await import('../../../src/conclusions/pipeline/rebuild.js');
    const { schema } = await import('../../../src/schema.js');
    const rebuilt = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(rebuilt.differences).toEqual([]);
  });

  it('gets the same answer for an id that another depot has as for one that it sees', async () => {
    const performedAt = '2026-03-02T10:00:00Z';
    const report = (id: string, notes: string) => ({
      ...goodJob(own.vehicleId, performedAt, 9010),
      ...{ id, notes },
    });
    const alike = ({ requestId: _id, ...rest }: any): object => rest;
    const { mechanic } = bound;
    const visible = await mechanic.post('/v1/job-reports', report(ownReport, 'another'));
    const hidden = await mechanic.post('/v1/job-reports', report(foreignReport, 'another'));
    expect([hidden.status, alike(hidden.body)]).toEqual([409, alike(visible.body)]);
    expect(visible.body).toMatchObject({ type: '/problems/report-id-taken', errors: [{ pointer: '/id' }] });
    // Nor does it matter that the content is the very same, or that there is a key.
    const copy = { ...goodJob(foreignVehicle, performedAt, 9010), id: foreignReport };
    const repeated = await mechanic.post(
      '/v1/job-reports',
      { ...copy, vehicleId: own.vehicleId },
      { 'idempotency-key': 'a key of its own' },
    );
    expect([repeated.status, alike(repeated.body)]).toEqual([409, alike(visible.body)]);

    const batch = await mechanic.post('/v1/job-reports/batch', {
      reports: [report(ownReport, 'another'), report(foreignReport, 'another')],
    });
    const [first, second] = batch.body.results;
    expect(first.status).toBe(409);
    expect(JSON.parse(JSON.stringify(second).replaceAll('/reports/1', '/reports/0'))).toEqual({
      ...first,
      index: 1,
    });
    for (const answer of [hidden, repeated, batch])
      for (const secret of [foreignVehicle, foreignDepot])
        expect(JSON.stringify(answer.body)).not.toContain(secret);
  });

  it('gets the same answer for a report of another depot as for one of another fleet, wherever it is named', async () => {
    const other = await service.newFleet();
    const { vehicleId } = await postScenario(other);
    const at = '2026-03-02T10:00:00Z';
    const theirs = (await other.mechanic.post('/v1/job-reports', goodJob(vehicleId, at, 9010))).body.id;
    const { mechanic } = bound;
    const pdf = Buffer.from('%PDF-1.4 a paper');
    const asked: ((id: string) => Promise<Answer>)[] = [
      (id) => mechanic.get(`/v1/job-reports/${id}`),
      (id) => mechanic.get(`/v1/job-reports/${id}/attachments`),
      (id) => mechanic.get(`/v1/job-reports/${id}/attachments/${id}`),
      (id) =>
        mechanic.send('POST', `/v1/job-reports/${id}/attachments`, pdf, {
          'content-type': 'application/pdf',
        }),
      (id) =>
        mechanic.post('/v1/job-reports', {
          ...{ ...goodJob(own.vehicleId, '2026-03-03T10:00:00Z', 9020), supersedes: id },
        }),
      (id) =>
        mechanic.post('/v1/usage-readings', {
          readings: [{ id, vehicleId: own.vehicleId, readAt: at, odometer: { value: 9000, unit: 'mi' } }],
        }),
      (id) =>
        mechanic.post(`/v1/vehicles/${own.vehicleId}/readings`, {
          ...{ id, kind: 'top-up', takenAt: at, added: { value: 0.5, unit: 'L' }, toMark: true },
        }),
    ];
    for (const ask of asked) {
      const [hidden, foreign] = [await ask(foreignReport), await ask(theirs)];
      const { requestId: _id, ...told } = hidden.body;
      const { requestId: _other, ...expected } = foreign.body;
      expect([hidden.status, JSON.stringify(told).replaceAll(foreignReport, theirs)]).toEqual([
        foreign.status,
        JSON.stringify(expected),
      ]);
    }
  });

  it('does not get another token’s answer to the same Idempotency-Key', async () => {
    const body = {
      readings: [
        { vehicleId: foreignVehicle, readAt: '2026-04-01T11:00:00Z', odometer: { value: 9700, unit: 'mi' } },
      ],
    };
    const headers = { 'idempotency-key': 'shared' };
    expect((await fleet.mechanic.post('/v1/usage-readings', body, headers)).status).toBe(200);
    expect((await bound.mechanic.post('/v1/usage-readings', body, headers)).status).toBe(422);
  });

  it('has its own ETag for a list that others see the same way', async () => {
    const path = '/v1/due-list?component=radiator';
    const all = await fleet.dashboard.get(path);
    const part = await bound.dashboard.get(path);
    expect(part.body).toEqual(all.body);
    expect(part.headers.get('etag')).not.toBe(all.headers.get('etag'));
  });

  it('takes turns with tokens that see everything, on the same connections', async () => {
    const expected = { [fleet.dashboard.token]: 3, [bound.dashboard.token]: 1 };
    await Promise.all(
      Array.from({ length: 200 }, async (_, index) => {
        const client = index % 2 ? fleet.dashboard : bound.dashboard;
        const { body } = await client.get('/v1/vehicles');
        expect(body.items).toHaveLength(expected[client.token] as number);
      }),
    );
  });

  it('follows a vehicle that moves from depot to depot', async () => {
    const move = (depotId: string) => fleet.manager.patch(`/v1/vehicles/${own.vehicleId}`, { depotId });
    expect((await move(foreignDepot)).status).toBe(200);
    expect((await bound.dashboard.get(`/v1/job-reports/${ownReport}`)).status).toBe(404);
    expect((await bound.dashboard.get('/v1/due-list?state=late,due,window,not-due')).body.items).toEqual([]);
    expect((await move(own.depotId)).status).toBe(200);
    expect((await bound.dashboard.get(`/v1/job-reports/${ownReport}`)).status).toBe(200);
    const both = await boundTo('dashboard', [own.depotId, foreignDepot]);
    expect((await both.get('/v1/vehicles')).body.items).toHaveLength(2);
  });

  it('is refused for a manager, for no depot at all, and for unknown depots', async () => {
    const other = await service.newFleet();
    const theirs = (await other.manager.post('/v1/depots', { name: 'Theirs' })).body.id;
    for (const [body, pointer, because] of [
      [{ role: 'manager', depotIds: [own.depotId] }, '/depotIds', 'cannot be given to a manager'],
      [{ role: 'mechanic', depotIds: [] }, '/depotIds', 'leave it out'],
      [{ role: 'mechanic', depotIds: [own.depotId, theirs] }, '/depotIds/1', 'no such depot'],
      [{ role: 'mechanic', depotIds: ['ridge'] }, '/depotIds', 'must be a UUID'],
    ] as const) {
      const refused = await fleet.manager.post('/v1/tokens', { name: 'No', ...body });
      expect(refused.status).toBe(422);
      expect(inText(refused.body.errors)).toEqual([{ pointer, detail: expect.stringContaining(because) }]);
    }
  });

  it('is limited in every table by a policy of the database, except for what all depots share', async () => {
    const { rows } = await service.database.admin.query<{ table: string; bound: boolean }>(
      `select c.relname as table, exists (select from pg_policies p where p.schemaname = 'public' and p.tablename = c.relname
         and p.permissive = 'RESTRICTIVE' and p.roles = '{weephole_depots}' and p.cmd in ('ALL')) as bound
       from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and c.relrowsecurity order by 1`,
    );
    expect(rows.filter((row) => !row.bound).map((row) => row.table)).toEqual(Object.keys(SHARED).sort());
  });
});
