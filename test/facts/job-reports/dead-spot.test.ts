import { v7 as uuidv7 } from 'uuid';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { JobReportsService } from '../../../src/facts/job-reports/job-reports.service.js';
import { Problem } from '../../../src/platform/problems/problem.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('a batch from a day without a network', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let turn = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW, isAlone: true });
    fleet = await service.newFleet({ units: 'si' });
    scenario = await postScenario(fleet);
  });
  afterAll(() => service.stop());

  async function newVehicle(): Promise<string> {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: `D-${++turn}`, depotId, specSheetId, intervalPlanId, inServiceOn: '2024-01-01' },
      inServiceOdometer: { value: 0, unit: 'km' },
    });
    expect(status).toBe(201);
    return body.id;
  }

  const coolantJob = (vehicleId: string, performedAt: string, more: object = {}) => ({
    ...{ id: uuidv7(), vehicleId, performedAt, lines: [{ component: 'coolant', action: 'replace' }] },
    ...more,
  });
  const postBatch = (reports: unknown[], headers: Record<string, string> = {}) =>
    fleet.mechanic.post('/v1/job-reports/batch', { reports }, headers);
  const statusesOf = (body: any): number[] => body.results.map((result: any) => result.status);

  async function rowsIn(table: string): Promise<number> {
    const { rows } = await service.database.admin.query(
      `select count(*)::int as n from ${table} where fleet_id = $1`,
      [fleet.fleetId],
    );
    return rows[0].n;
  }

  it('is answered report by report, and changes nothing when sent again', async () => {
    const [first, second] = [await newVehicle(), await newVehicle()];
    // Out of order, and in between one that cannot be.
    const reports = [
      { ...goodJob(first, '2026-04-02T14:00:00Z', 12_000), id: uuidv7() },
      { id: uuidv7(), vehicleId: uuidv7(), performedAt: '2026-04-02T08:00:00Z', lines: [] },
      { ...goodJob(first, '2026-03-02T08:00:00Z', 11_000), id: uuidv7() },
      coolantJob(second, '2026-04-01T08:00:00Z'),
      coolantJob(first, '2026-02-02T08:00:00Z', { odometer: { value: 10_000, unit: 'mi' } }),
    ];
    const tables = ['job_reports', 'job_lines', 'readings', 'usage_readings', 'due_lines', 'completions'];
    const { status, body } = await postBatch(reports);
    expect([status, statusesOf(body)]).toEqual([200, [201, 422, 201, 201, 201]]);
    expect(body.results.map((result: any) => result.index)).toEqual([0, 1, 2, 3, 4]);
    expect(body.results[1].problem.errors[0].pointer).toBe('/reports/1/vehicleId');
    const before = await Promise.all(tables.map(rowsIn));
    const again = await postBatch(reports);
    expect(statusesOf(again.body)).toEqual([200, 422, 200, 200, 200]);
    expect(again.body.results.map((result: any) => result.report)).toEqual(
      // What was reset at first counts from the later report now: the outcome is of its time.
      body.results.map((result: any) => result.report),
    );
    expect(await Promise.all(tables.map(rowsIn))).toEqual(before);
    const changed = await postBatch([{ ...reports[3], notes: 'other content' }]);
    expect(statusesOf(changed.body)).toEqual([409]);
    expect(changed.body.results[0].problem.errors[0].pointer).toBe('/reports/0/id');
  });

  it('gets the first answer again with one Idempotency-Key, each report its own', async () => {
    const [first, second] = [await newVehicle(), await newVehicle()];
    const reports = [first, second].map((vehicleId) => {
      const { id: _id, ...report } = coolantJob(vehicleId, '2026-04-01T08:00:00Z');
      return report;
    });
    const headers = { 'idempotency-key': uuidv7() };
    const { body } = await postBatch(reports, headers);
    expect(body.results.map((result: any) => [result.status, result.report.vehicleId])).toEqual([
      [201, first],
      [201, second],
    ]);
    const before = await rowsIn('job_reports');
    expect((await postBatch(reports, headers)).body).toEqual(body);
    expect(await rowsIn('job_reports')).toBe(before);
    const other = await postBatch([reports[1]], headers);
    expect([other.status, other.body.errors[0].header]).toEqual([422, 'Idempotency-Key']);
  });

  it('is accepted except for reports with values that no field may hold', async () => {
    const vehicleId = await newVehicle();
    const good = (hour: number) => coolantJob(vehicleId, `2026-04-01T0${hour}:00:00Z`);
    let deep: unknown = 'x';
    for (let level = 0; level < 2000; level++) deep = [deep];
    const texts = [
      JSON.stringify(good(1)),
      JSON.stringify(good(2)).replace(/}$/, ',"notes":"a\\u0000b"}'),
      JSON.stringify(good(3)).replace(/}$/, ',"notes":"\\ud800"}'),
      JSON.stringify(good(4)).replace(/}$/, ',"__proto__":{"voided":null}}'),
      JSON.stringify({ ...good(5), readings: [deep] }),
      JSON.stringify({
        ...good(6),
        lines: [{ component: 'coolant', action: 'replace', finding: 'x'.repeat(600) }],
      }),
      JSON.stringify({ ...good(7), odometer: { value: 1e308, unit: 'mi' } }),
      'null',
      JSON.stringify(good(9)),
    ];
    const { status, body } = await fleet.mechanic.send(
      'POST',
      '/v1/job-reports/batch',
      `{"reports":[${texts.join(',')}]}`,
    );
    expect([status, statusesOf(body)]).toEqual([200, [201, 422, 422, 422, 422, 422, 422, 422, 201]]);
    expect(body.results.map((result: any) => result.problem?.errors[0].pointer ?? null)).toEqual([
      ...[null, '/reports/1/notes', '/reports/2/notes', '/reports/3/__proto__'],
      `/reports/4/readings/0${'/0'.repeat(22)}`,
      ...['/reports/5/lines/0/finding', '/reports/6/odometer', '/reports/7', null],
    ]);
  });

  it('has its problems told in the units that are asked for', async () => {
    // What is refused in a batch today tells no quantity but those that were typed.
    const elevation = { measure: 'elevation', value: 1500 };
    const detail = { code: 'place-at-elevation', values: { elevation } };
    const reports = service.app.get(JobReportsService);
    const refused = new Problem(422, 'unacceptable-content', detail, [{ pointer: '/elevation', detail }]);
    const spied = jest.spyOn(reports, 'post').mockRejectedValue(refused);
    const report = coolantJob(await newVehicle(), '2026-04-02T08:00:00Z');
    const told = async (query: string) => {
      const { body } = await fleet.mechanic.post(`/v1/job-reports/batch${query}`, { reports: [report] });
      const [{ problem }] = body.results;
      return [problem.detail, problem.errors[0].detail, problem.errors[0].pointer];
    };
    const inFeet = ['at 4,921 ft', 'at 4,921 ft', '/reports/0/elevation'];
    const inMetres = ['at 1,500 m', 'at 1,500 m', '/reports/0/elevation'];
    const all = [await told('?units=us'), await told('?units=si'), await told('')];
    spied.mockRestore();
    expect(all).toEqual([inFeet, inMetres, inMetres]);
  });

  it('is refused as a whole if it is not a batch', async () => {
    for (const [text, pointer] of [
      ['[]', ''],
      ['null', ''],
      ['{"reports":{}}', '/reports'],
      ['{"reports":[{}],"dryRun":true}', '/dryRun'],
      ['{"reports":[{}],"__proto__":{}}', '/__proto__'],
    ]) {
      const { status, body } = await fleet.mechanic.send('POST', '/v1/job-reports/batch', text);
      expect([text, status, body.errors?.[0]?.pointer]).toEqual([text, 422, pointer]);
    }
  });

  it('continues after a report at which the service itself fails, and says so', async () => {
    const [broken, sound] = [await newVehicle(), await newVehicle()];
    const { admin } = service.database;
    // A fault of ours, made by hand: the database fails at one vehicle's reports.
    await admin.query(
      `create function fail() returns trigger language plpgsql as $$ begin raise 'secret reason'; end $$`,
    );
    await admin.query(
      `create trigger fails before insert on job_reports for each row when (new.vehicle_id = '${broken}') execute function fail()`,
    );
    const reports = [broken, sound].map((vehicleId) => coolantJob(vehicleId, '2026-04-01T08:00:00Z'));
    const { status, body } = await postBatch(reports);
    expect([status, statusesOf(body)]).toEqual([200, [500, 201]]);
    expect(body.results[0].problem.detail).not.toMatch(/secret/);
    await admin.query('drop trigger fails on job_reports');
    expect(statusesOf((await postBatch(reports)).body)).toEqual([201, 200]);
  });

  describe("a notice about a device's clock", () => {
    it.each([
      ['2026-04-02T18:05:00Z', 185, '3 h 5 min ahead'],
      ['2026-04-02T09:00:00-03:00', -180, '3 h behind'],
      ['2026-04-02T15:09:00Z', null, null],
      [undefined, null, null],
    ])('if it says %s, alone and in a batch', async (sentAt, minutes, words) => {
      const performedAt = '2026-04-02T11:30:00.000Z';
      const answers = [
        (
          await fleet.mechanic.post(
            '/v1/job-reports',
            coolantJob(await newVehicle(), performedAt, { sentAt }),
          )
        ).body,
        (await postBatch([coolantJob(await newVehicle(), performedAt, { sentAt })])).body.results[0].report,
      ];
      for (const report of answers) {
        expect(report.performedAt).toBe(performedAt);
        expect(report.sentAt).toBe(sentAt === undefined ? null : new Date(sentAt).toISOString());
        expect(report.notices.map((notice: any) => [notice.code, notice.deviceAheadMinutes])).toEqual(
          minutes === null ? [] : [['device-clock', minutes]],
        );
        if (words !== null) expect(report.notices[0].messages[0].text).toContain(words);
        expect((await fleet.dashboard.get(`/v1/job-reports/${report.id}`)).body).toEqual(report);
      }
    });

    it('comes with a refusal if the work is in the future by it', async () => {
      const vehicleId = await newVehicle();
      const report = coolantJob(vehicleId, '2026-04-02T17:00:00Z', { sentAt: '2026-04-02T18:00:00Z' });
      const { status, body } = await fleet.mechanic.post('/v1/job-reports', report);
      expect([status, body.errors[0].pointer]).toEqual([422, '/performedAt']);
      expect(body.errors[0].detail).toContain('By sentAt it is 3 h ahead.');
      expect(statusesOf((await postBatch([report])).body)).toEqual([422]);
    });
  });

  describe('a notice about work that a colleague has reported', () => {
    it('within the hour names the other report, and keeps both', async () => {
      const vehicleId = await newVehicle();
      const own = coolantJob(vehicleId, '2026-04-02T09:00:00Z', { performedBy: 'badge 7' });
      const first = await fleet.manager.post('/v1/job-reports', own);
      expect([first.status, first.body.notices]).toEqual([201, []]);
      const reports = [
        coolantJob(vehicleId, '2026-04-02T10:01:00Z'),
        coolantJob(vehicleId, '2026-04-02T09:20:00Z', { performedBy: 'badge 9' }),
        coolantJob(vehicleId, '2026-04-02T09:20:00Z', { lines: [{ component: 'coolant', action: 'flush' }] }),
        coolantJob(await newVehicle(), '2026-04-02T09:20:00Z'),
      ];
      const { body } = await postBatch(reports);
      expect(statusesOf(body)).toEqual([201, 201, 201, 201]);
      expect(
        body.results.map(({ report }: any) =>
          report.notices.map((notice: any) => [notice.code, notice.jobReportId]),
        ),
      ).toEqual([[], [['possible-duplicate', own.id]], [], []]);
      // Sent again, it tells the same.
      expect((await postBatch(reports)).body.results.map(({ report }: any) => report)).toEqual(
        body.results.map(({ report }: any) => report),
      );
    });

    it('comes in the same batch, too', async () => {
      const vehicleId = await newVehicle();
      const reports = ['2026-04-02T09:40:00Z', '2026-04-02T09:00:00Z'].map((at) => coolantJob(vehicleId, at));
      const { body } = await postBatch(reports);
      expect(
        body.results.map(({ report }: any) => report.notices.map((notice: any) => notice.jobReportId)),
      ).toEqual([[], [reports[0]?.id]]);
    });

    it('lists those reports for a manager until one of the two is voided', async () => {
      const own = await service.newFleet();
      const vehicle = await own.manager.post('/v1/vehicles', { unitNumber: 'L-1' });
      const post = async (at: string) =>
        (await own.mechanic.post('/v1/job-reports', coolantJob(vehicle.body.id, at))).body.id as string;
      const listed = async () =>
        (await own.manager.get('/v1/job-reports?notice=possible-duplicate')).body.items.map(
          (item: any) => item.id,
        );
      const first = await post('2026-04-02T09:00:00Z');
      const second = await post('2026-04-02T09:30:00Z');
      expect(await listed()).toEqual([second]);
      const third = await post('2026-04-01T09:00:00Z');
      const fourth = await post('2026-04-01T09:30:00Z');
      expect(await listed()).toEqual([second, fourth]);
      await own.manager.post(`/v1/job-reports/${first}/void`, { reason: 'reported twice' });
      expect(await listed()).toEqual([fourth]);
      await own.manager.post(`/v1/job-reports/${fourth}/void`, { reason: 'reported twice' });
      expect(await listed()).toEqual([]);
      // What a voided report told of is no double.
      await own.manager.post(`/v1/job-reports/${third}/void`, { reason: 'not done' });
      const fifth = await own.mechanic.post(
        '/v1/job-reports',
        coolantJob(vehicle.body.id, '2026-04-01T09:10:00Z'),
      );
      expect(fifth.body.notices).toEqual([]);
    });

    it('counts the coolant of both, until one is voided', async () => {
      const vehicleId = await newVehicle();
      const topUp = { kind: 'top-up', added: { value: 0.5, unit: 'L' }, toMark: true, planned: false };
      const lines = [{ component: 'reservoir', action: 'inspect' }];
      const odometer = (value: number) => ({ value, unit: 'km' });
      const posted: string[] = [];
      for (const [at, km] of [
        ['2026-03-20T09:00:00Z', 20_000],
        ['2026-03-20T09:30:00Z', 20_000],
      ] as const) {
        const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
          ...{ id: uuidv7(), vehicleId, performedAt: at, odometer: odometer(km), lines, readings: [topUp] },
        });
        expect(status).toBe(201);
        posted.push(body.id);
      }
      const lossOf = async () => (await fleet.manager.get(`/v1/vehicles/${vehicleId}/loss-trend`)).body;
      const both = JSON.stringify(await lossOf());
      await fleet.manager.post(`/v1/job-reports/${posted[1]}/void`, { reason: 'reported twice' });
      const one = JSON.stringify(await lossOf());
      expect(both.match(/0\.5\b/g)?.length ?? 0).toBeGreaterThan(one.match(/0\.5\b/g)?.length ?? 0);
    });
  });

  it('shows what was set aside as posted, whatever it looks like', async () => {
    const odd = [
      { kind: 'x', said: 1, measures: 2 },
      { kind: 'x', measure: 'x', value: 1 },
    ];
    const report = coolantJob(await newVehicle(), '2026-04-01T08:00:00Z', { readings: odd });
    const { status, body } = await postBatch([report]);
    expect([status, statusesOf(body)]).toEqual([200, [201]]);
    const read = await fleet.mechanic.get(`/v1/job-reports/${report.id}`);
    expect(read.status).toBe(200);
    expect(read.body.outcome.held.map(({ value }: any) => value)).toEqual(odd);
  });

  it('leaves nothing that a rebuild would change', async () => {
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.differences).toEqual([]);
  });
});
