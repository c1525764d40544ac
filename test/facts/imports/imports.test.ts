import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { schema } from '../../../src/schema.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const EVERY_STATE = 'state=late,due,window,not-due,no-baseline';
const NO_ONE = '00000000-0000-4000-8000-000000000000';

const VEHICLES = [
  'unitNumber,intervalPlan,inServiceOn,inServiceOdometer,mountedOn',
  'V-1,Light trucks,2021-01-01,0,',
  'V-2,Light trucks,2021-01-01,0,',
  'V-2 AUX,,,,V-2',
].join('\n');
const USAGE = [
  'unit,readAt,odometer',
  'V-1,2026-01-05,60000',
  'V-1,2026-02-05,61000',
  // Goes back: it is held.
  'V-1,2026-03-05,40000',
  'V-2,2026-02-05,20000',
].join('\n');
const WORK = [
  'unit,component,action,date,odometer',
  'V-1,water-pump,replace,2024-06-02,30000',
  'V-2,coolant,replace,2025-01-02,',
].join('\n');

describe('imports', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
    await postScenario(fleet);
  });
  afterEach(async () => {
    const { differences } = await rebuildAll({
      databaseUrl: service.database.url,
      schema,
      clock: service.clock,
    });
    if (differences.length > 0) throw new Error(`a rebuild differs: ${JSON.stringify(differences)}`);
  });

  const send = (path: string, file: string, query = ''): Promise<Answer> =>
    fleet.manager.send('POST', `/v1/${path}/import${query}`, file, { 'content-type': 'text/csv' });
  async function taken(path: string, file: string, query = ''): Promise<string> {
    const { status, body } = await send(path, file, query);
    expect([status, inText(body.errors)]).toEqual([200, []]);
    expect(body.importId).toMatch(/^[0-9a-f-]{36}$/);
    return body.importId;
  }
  const undo = (id: string): Promise<Answer> => fleet.manager.post(`/v1/imports/${id}/undo`);
  async function undone(id: string): Promise<any> {
    const { status, body } = await undo(id);
    expect([status, body.detail]).toEqual([200, undefined]);
    return body;
  }
  const items = async (path: string): Promise<any[]> => (await fleet.manager.get(path)).body.items;
  const vehicleNumbers = async (): Promise<string[]> =>
    (await items('/v1/vehicles')).map(({ unitNumber }) => unitNumber);
  /** What is concluded, without the ids that are made anew. */
  const dueList = async (): Promise<any[]> =>
    (await items(`/v1/due-list?${EVERY_STATE}&limit=200`)).map(
      ({ id: _id, vehicleId: _vehicle, ...line }) => line,
    );
  const usageOf = async (unitNumber: string): Promise<any> => {
    const [vehicle] = await items(`/v1/vehicles?unitNumber=${encodeURIComponent(unitNumber)}`);
    const { body } = await fleet.manager.get(`/v1/vehicles/${vehicle.id}/usage`);
    return body;
  };

  it('are listed with sender, time, content and how they were read, without dry runs and refused files', async () => {
    await send('vehicles', VEHICLES, '?dryRun=true');
    await send('vehicles', `${VEHICLES}\n,,,,`.replace('Light trucks', 'Heavy trucks'));
    expect(await items('/v1/imports')).toEqual([]);
    const first = await taken('vehicles', VEHICLES, '?fileName=motor%20pool.csv');
    service.clock.moveTo('2026-04-02T15:05:00Z');
    const second = await taken('usage-readings', USAGE.replaceAll(',', ';').replace('61000', '61.000,5'));
    const [usage, vehicles] = await items('/v1/imports');
    expect(vehicles).toEqual({
      ...{
        id: first,
        kind: 'vehicles',
        fileName: 'motor pool.csv',
        sha256: expect.stringMatching(/^[0-9a-f]{64}$/),
      },
      importedAt: '2026-04-02T15:00:00.000Z',
      by: { kind: 'token', id: expect.any(String), name: 'manager', role: 'manager' },
      ...{ rows: 3, accepted: 3, duplicate: 0, held: 0, rejected: 0, undone: null },
      reading: {
        ...{ encoding: 'utf-8', delimiter: 'comma', columns: expect.any(Array) },
        decimal: { value: null, decidedBy: null, cell: null },
        dateOrder: { value: null, decidedBy: null, cell: null },
      },
    });
    expect(usage).toMatchObject({
      ...{
        id: second,
        kind: 'usage-readings',
        fileName: null,
        importedAt: '2026-04-02T15:05:00.000Z',
        rows: 4,
        held: 1,
      },
      reading: { decimal: { value: 'comma', cell: { line: 3, column: 'odometer', value: '61.000,5' } } },
    });
    expect((await fleet.manager.get(`/v1/imports/${first}`)).body).toEqual(vehicles);
    expect(await items('/v1/imports?kind=vehicles')).toEqual([vehicles]);
    const page = (await fleet.manager.get('/v1/imports?limit=1')).body;
    expect(page.items).toEqual([usage]);
    expect((await fleet.manager.get(`/v1/imports?limit=1&cursor=${page.next}`)).body).toEqual({
      items: [vehicles],
      next: null,
    });
    service.clock.moveTo('2026-04-02T15:00:00Z');
  });

  it('are for managers of one fleet', async () => {
    const id = await taken('vehicles', VEHICLES);
    const other = await service.newFleet();
    for (const client of [fleet.mechanic, fleet.dashboard]) {
      expect((await client.get('/v1/imports')).status).toBe(403);
      expect((await client.get(`/v1/imports/${id}`)).status).toBe(403);
      expect((await client.post(`/v1/imports/${id}/undo`)).status).toBe(403);
    }
    expect((await other.manager.get('/v1/imports')).body.items).toEqual([]);
    expect((await other.manager.get(`/v1/imports/${id}`)).status).toBe(404);
    expect((await other.manager.post(`/v1/imports/${id}/undo`)).status).toBe(404);
    expect((await undo(NO_ONE)).status).toBe(404);
    expect(await vehicleNumbers()).toContain('V-1');
  });

  it('of usage can be undone completely: conclusions are as before, and the same file is new again', async () => {
    await taken('vehicles', VEHICLES);
    await fleet.mechanic.post('/v1/usage-readings', {
      readings: [
        { unitNumber: 'V-1', readAt: '2026-01-20T12:00:00Z', odometer: { value: 30500, unit: 'mi' } },
      ],
    });
    const before = { lines: await dueList(), usage: await usageOf('V-1') };
    const id = await taken('usage-readings', USAGE);
    const with_ = { lines: await dueList(), usage: await usageOf('V-1') };
    expect(with_.lines).not.toEqual(before.lines);

    const { undone: what } = await undone(id);
    expect(what).toEqual({
      at: '2026-04-02T15:00:00.000Z',
      by: { kind: 'token', id: expect.any(String), name: 'manager', role: 'manager' },
      ...{ vehicles: 0, usageReadings: 4, jobReports: 0 },
    });
    expect(await dueList()).toEqual(before.lines);
    const { readings, ...usage } = await usageOf('V-1');
    expect(usage).toEqual({ ...before.usage, readings: undefined });
    expect(readings.items.map(({ status }: any) => status).sort()).toEqual([
      'accepted',
      'voided',
      'voided',
      'voided',
    ]);

    const again = await undone(id);
    expect(again.undone).toEqual(what);
    expect((await send('usage-readings', USAGE)).body).toMatchObject({ accepted: 3, held: 1, duplicate: 0 });
    expect(await dueList()).toEqual(with_.lines);
    expect((await send('usage-readings', USAGE)).body).toMatchObject({ accepted: 0, held: 0, duplicate: 4 });
  });

  it('of earlier work can be undone completely, and the same file is new again', async () => {
    await taken('vehicles', VEHICLES);
    const before = await dueList();
    const id = await taken('job-reports', WORK);
    const withWork = await dueList();
    expect(withWork).not.toEqual(before);
    expect((await undone(id)).undone).toMatchObject({ vehicles: 0, usageReadings: 0, jobReports: 2 });
    expect(await dueList()).toEqual(before);
    for (const report of await items('/v1/job-reports'))
      expect(report).toMatchObject({
        isBaseline: true,
        voided: {
          reason: { code: 'voided-import-undone', text: 'The import that brought it was undone.' },
        },
      });
    expect((await usageOf('V-1')).lastReading).toBeNull();
    await undone(id);
    expect((await send('job-reports', WORK)).body).toMatchObject({ accepted: 2, duplicate: 0 });
    const plain = (lines: any[]) =>
      lines.map((line) => ({ ...line, lastDone: line.lastDone && { ...line.lastDone, jobReportId: null } }));
    expect(plain(await dueList())).toEqual(plain(withWork));
  });

  it('of vehicles can be undone completely, with their conclusions and reminders', async () => {
    const before = await dueList();
    const id = await taken('vehicles', VEHICLES);
    const target = await fleet.manager.post('/v1/reminder-targets', {
      kind: 'webhook',
      address: 'http://127.0.0.1:9/',
    });
    // As a sweep would write it.
    await service.database.admin.query(
      `with m as (insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
         select d.fleet_id, gen_random_uuid(), $2, d.id, d.cycle, 'due', 'sent', now(), now() from due_lines d
         join vehicles v on v.fleet_id = d.fleet_id and v.id = d.vehicle_id and v.import_id = $3 where d.fleet_id = $1 returning *)
       insert into reminder_attempts (fleet_id, reminder_id, number, at, duration_ms) select fleet_id, id, 1, now(), 5 from m`,
      [fleet.fleetId, target.body.id, id],
    );
    expect((await undone(id)).undone).toMatchObject({ vehicles: 3, usageReadings: 0, jobReports: 0 });
    expect(await vehicleNumbers()).toEqual(['R-114']);
    expect(await dueList()).toEqual(before);
    expect((await undone(id)).undone.vehicles).toBe(3);
    await taken('vehicles', VEHICLES);
    expect(await vehicleNumbers()).toEqual(['R-114', 'V-1', 'V-2', 'V-2 AUX']);
    expect((await undone(id)).undone.vehicles).toBe(3);
    expect(await vehicleNumbers()).toContain('V-1');
  });

  it('of a first day are undone one by one, the last first, and obstacles are named', async () => {
    const empty = { vehicles: await vehicleNumbers(), lines: await dueList() };
    const vehicles = await taken('vehicles', VEHICLES);
    const usage = await taken('usage-readings', USAGE);
    const work = await taken('job-reports', WORK);
    const refused = await undo(vehicles);
    expect([refused.status, refused.body.type]).toEqual([409, '/problems/in-use-since']);
    const imports = [usage, work].sort().join(' and ');
    const detail = `It cannot be removed. It has usage readings and job reports. Undo the imports ${imports} first.`;
    expect(inText(refused.body.errors)).toEqual([
      { value: 'V-1', detail },
      { value: 'V-2', detail },
    ]);
    expect(refused.body.detail).toContain(
      '2 vehicles of this import have been worked with since, so nothing was undone: V-1 and V-2.',
    );
    await undone(work);
    await undone(usage);
    expect((await undone(vehicles)).undone.vehicles).toBe(3);
    expect({ vehicles: await vehicleNumbers(), lines: await dueList() }).toEqual(empty);
    // Not a row is left of it.
    for (const table of ['usage_readings', 'job_reports', 'job_lines']) {
      const { rows } = await service.database.admin.query(`select 1 from ${table} where fleet_id = $1`, [
        fleet.fleetId,
      ]);
      expect([table, rows.length]).toEqual([table, 0]);
    }
    for (const [path, file] of [
      ['vehicles', VEHICLES],
      ['usage-readings', USAGE],
      ['job-reports', WORK],
    ] as const)
      expect((await send(path, file)).body).toMatchObject({ duplicate: 0, rejected: 0 });
  });

  it('of vehicles stay if others have worked with one of them since, and nothing is half undone', async () => {
    const id = await taken('vehicles', VEHICLES);
    const [one] = await items('/v1/vehicles?unitNumber=V-1');
    const [two] = await items('/v1/vehicles?unitNumber=V-2');
    await fleet.manager.patch(`/v1/vehicles/${one.id}`, { make: 'Alder' });
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'Z-9', mountedOn: two.id });
    await fleet.mechanic.post('/v1/job-reports', goodJob(two.id, '2026-03-02T10:00:00Z', 9010));
    const { status, body } = await undo(id);
    expect(status).toBe(409);
    expect(inText(body.errors)).toEqual([
      { value: 'V-1', detail: 'It cannot be removed. It was changed since.' },
      { value: 'V-2', detail: 'It cannot be removed. It has job reports and readings. It carries Z-9.' },
    ]);
    expect(await vehicleNumbers()).toEqual(['R-114', 'V-1', 'V-2', 'V-2 AUX', 'Z-9']);
    expect((await fleet.manager.get(`/v1/imports/${id}`)).body.undone).toBeNull();
    // A vehicle that was deleted meanwhile is in nobody's way.
    const other = await taken('vehicles', 'unitNumber\nW-1\nW-2');
    const [gone] = await items('/v1/vehicles?unitNumber=W-1');
    expect((await fleet.manager.delete(`/v1/vehicles/${gone.id}`)).status).toBe(204);
    expect((await undone(other)).undone.vehicles).toBe(1);
  });

  it('keep what a manager has settled by hand', async () => {
    await taken('vehicles', VEHICLES);
    const usage = await taken('usage-readings', USAGE);
    const work = await taken('job-reports', WORK);
    const [held] = await items('/v1/usage-readings?status=held');
    const accepted = await items('/v1/usage-readings?status=accepted');
    const voided = accepted.find(({ readAt }) => readAt.startsWith('2026-01-05'));
    await fleet.manager.post(`/v1/usage-readings/${held.id}/discard`);
    await fleet.manager.post(`/v1/usage-readings/${voided.id}/void`);
    const [report] = await items('/v1/job-reports');
    await fleet.manager.post(`/v1/job-reports/${report.id}/void`, { reason: 'the wrong vehicle' });
    expect((await undone(usage)).undone.usageReadings).toBe(2);
    expect((await undone(work)).undone.jobReports).toBe(1);
    expect((await items('/v1/usage-readings?status=discarded')).map(({ id }) => id)).toEqual([held.id]);
    expect((await send('usage-readings', USAGE)).body).toMatchObject({ accepted: 2, held: 0, duplicate: 2 });
    expect((await send('job-reports', WORK)).body).toMatchObject({ accepted: 1, duplicate: 1 });
  });

  it('appear once in the audit as undone, however many rows they had', async () => {
    await taken('vehicles', VEHICLES);
    const usage = await taken('usage-readings', USAGE, '?fileName=readings.csv');
    const work = await taken('job-reports', WORK);
    for (const id of [usage, work]) await undone(id);
    const entries = (await items('/v1/audit?kind=import&limit=200')).map(
      ({ action, subjectId, changes }) => ({ action, subjectId, changes }),
    );
    const ofUsage = entries.filter(({ subjectId }) => subjectId === usage);
    expect(ofUsage.toSorted((a, b) => (a.action > b.action ? -1 : 1))).toEqual([
      {
        action: 'undone',
        subjectId: usage,
        changes: expect.objectContaining({ undoneUsageReadings: { from: null, to: 4 } }),
      },
      {
        ...{ action: 'recorded', subjectId: usage },
        changes: expect.objectContaining({
          fileName: { from: null, to: 'readings.csv' },
          rows: { from: null, to: 4 },
        }),
      },
    ]);
    for (const kind of ['usage-reading', 'job-report'])
      expect(await items(`/v1/audit?kind=${kind}`)).toEqual([]);
  });

  it('cannot be undone while the fleet imports another file', async () => {
    const id = await taken('vehicles', 'unitNumber\nW-1');
    const { admin } = service.database;
    await admin.query('begin');
    await admin.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [`import ${fleet.fleetId}`]);
    const meanwhile = await undo(id);
    await admin.query('rollback');
    expect([meanwhile.status, meanwhile.body.type, meanwhile.headers.get('retry-after')]).toEqual([
      ...[409, '/problems/import-under-way', '10'],
    ]);
    await undone(id);
  });

  it('are undone with as many statements for one vehicle as for two hundred', async () => {
    async function statementsOf(id: string): Promise<number> {
      let count = 0;
      const listen = () => void count++;
      statementListeners.add(listen);
      try {
        await undone(id);
      } finally {
        statementListeners.delete(listen);
      }
      return count;
    }
    const counted: number[][] = [];
    for (const vehicles of [1, 200]) {
      const numbers = Array.from({ length: vehicles }, (_, n) => `B${vehicles}-${n}`);
      const ids = [
        await taken(
          'vehicles',
          [
            'unitNumber,intervalPlan,inServiceOn',
            ...numbers.map((unit) => `${unit},Light trucks,2021-01-01`),
          ].join('\n'),
        ),
        await taken(
          'usage-readings',
          ['unit,readAt,odometer', ...numbers.map((unit) => `${unit},2026-01-05,60000`)].join('\n'),
        ),
        await taken(
          'job-reports',
          ['unit,component,action,date', ...numbers.map((unit) => `${unit},coolant,replace,2024-05-05`)].join(
            '\n',
          ),
        ),
      ];
      const counts: number[] = [];
      for (const id of ids.toReversed()) counts.push(await statementsOf(id));
      counted.push(counts);
    }
    expect(counted[1]).toEqual(counted[0]);
  });
});
