import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { currentFleetId } from '../../../src/platform/scope/fleet-scope.js';
import { HYBRID_SHEET } from '../../support/hybrid.js';
import { untiedTables } from '../../support/fleet-ties.js';
import { signedIn } from '../../support/browser-client.js';
import { idOf, labelOf, open, sendForm } from '../../support/labels.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { plannedVisits } from '../../support/visit-plans.js';

interface Statement {
  text: string;
  values: unknown[];
}

/**
 * Every statement that TypeORM sends to the database passes through this one method, whoever wrote
 * it.
 */
const { PostgresQueryRunner } = createRequire(import.meta.url)(
  'typeorm/driver/postgres/PostgresQueryRunner',
) as { PostgresQueryRunner: { prototype: { query: (...all: unknown[]) => unknown } } };

const SOURCES = fileURLToPath(new URL('../../../src/', import.meta.url));

interface Exported {
  file: string;
  /** `file function`. */
  name: string;
  line: number;
}

/** The exports of the query files, in file order. */
const exported: Exported[] = readdirSync(SOURCES, { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.queries.ts'))
  .flatMap((file) =>
    readFileSync(SOURCES + file, 'utf8')
      .split('\n')
      .flatMap((text, index) => {
        const name = /^export (?:async )?function (\w+)/.exec(text)?.[1];
        return name ? [{ file, name: `${basename(file, '.queries.ts')} ${name}`, line: index + 1 }] : [];
      }),
  );

/**
 * Returns the exported functions that are currently running a query. Finds them by line, because
 * the names in a mapped stack are those of the caller.
 */
function asking(): string[] {
  const { stackTraceLimit } = Error;
  Error.stackTraceLimit = 60;
  const { stack = '' } = new Error('who asks');
  Error.stackTraceLimit = stackTraceLimit;
  return Array.from(stack.matchAll(/\/src\/([\w/-]+\.queries\.ts):(\d+)/g), ([, file, line]) =>
    exported.findLast((one) => one.file === file && one.line <= Number(line)),
  ).flatMap((one) => (one ? [one.name] : []));
}

/** The worker runs these in its own time, perhaps not during the fleet's day below. */
const IN_THE_BACKGROUND =
  /^(cohorts|delivery|digests|messages|part-lots|polling|reminder-in-hand|retention|sweep|take-requests|trouble|untold-lines|untold-news) /;

/** These send nothing: they build a statement, or read a result. */
const WORD_ONLY = [
  'due-line-counts canBeKept',
  'due-line-counts countStatement',
  'delivery-troubles troublesStatement',
  'due-list conditionsOf',
  'due-list dueListStatement',
  'due-list-events toldStatement',
  'coolant-state coolantState',
  'failed-readings failedStatement',
  'month-report doneStatement',
  'month-report repeatStatement',
  'defects narrowDefects',
  'fault-list narrowFaults',
];

/**
 * These are not called in the fleet's day below, so they are covered by row-level security only.
 */
const NOT_ASKED = [
  'attachments insertAttachment',
  'attachments markRemoved',
  'attachments strandedUploads',
  'attachments voidedWithBytes',
  'due-list-events goodHolders',
  'due-list-events horizonOf',
  'due-list-events linesById',
  'due-list-events removeOldEvents',
  'due-list-events toldAfter',
  'interval-plans linesUnder',
  'delivery-troubles markFailing',
  'delivery-troubles markWorking',
  'reminder-targets markTested',
  'reminder-targets retimeWaiting',
  'reminder-targets unknownFilters',
  'reminder-targets withdrawWaiting',
  'reminders attemptRows',
  'vehicles narrowVehicles',
  'vehicles someNames',
];

describe('the statements of the service', () => {
  let service: Service;
  let fleet: FleetHandle;
  let other: FleetHandle;
  const heard = new Map<string, Statement>();
  /** Queries outside any fleet: the sweep looks across all fleets for work to queue. */
  const acrossFleets = new Set<string>();
  const asked = new Set<string>();
  const original = PostgresQueryRunner.prototype.query;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', withWorker: true });
    fleet = await service.newFleet();
    other = await service.newFleet();
    await postScenario(other);
    PostgresQueryRunner.prototype.query = function hear(...all: unknown[]) {
      const statement =
        typeof all[0] === 'string'
          ? { text: all[0], values: (all[1] as unknown[]) ?? [] }
          : (all[0] as Statement);
      for (const name of asking()) asked.add(name);
      if (currentFleetId() === null) acrossFleets.add(statement.text);
      heard.set(statement.text, { text: statement.text, values: statement.values });
      return original.apply(this, all);
    };
    await useEverything();
    PostgresQueryRunner.prototype.query = original;
  });
  afterAll(async () => {
    PostgresQueryRunner.prototype.query = original;
    await service.stop();
  });

  /** A fleet's day: what people post, change and view. */
  async function useEverything(): Promise<void> {
    const { manager, mechanic, dashboard } = fleet;
    const own = await postScenario(fleet);
    const posted = await mechanic.post(
      '/v1/job-reports',
      goodJob(own.vehicleId, '2026-03-02T10:00:00Z', 9010),
    );
    for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z'])
      await mechanic.post(`/v1/vehicles/${own.vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
      });
    await mechanic.post('/v1/usage-readings', {
      readings: [
        { vehicleId: own.vehicleId, readAt: '2026-03-28T10:00:00Z', odometer: { value: 9500, unit: 'mi' } },
        { vehicleId: own.vehicleId, readAt: '2026-03-29T10:00:00Z', odometer: { value: 20, unit: 'mi' } },
      ],
    });
    await mechanic.post('/v1/job-reports', {
      ...{ vehicleId: own.vehicleId, performedAt: '2026-03-30T10:00:00Z', releasedForService: 'yes' },
      readings: [{ kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' }],
    });
    await manager.post('/v1/reminder-targets', { kind: 'webhook', address: 'http://127.0.0.1:9/' });
    await manager.patch(`/v1/vehicles/${own.vehicleId}`, { duty: 'normal', vin: '1M8GDM9AXKP042788' });
    await manager.patch(`/v1/depots/${own.depotId}`, { designLowTemperature: { value: -45, unit: 'C' } });
    const line = (await manager.get('/v1/due-list?state=late,due,window,not-due,no-baseline')).body.items[0];
    const alert = (await manager.get('/v1/loss-alerts')).body.items[0];
    await mechanic.post(`/v1/loss-alerts/${alert.id}/acknowledge`);
    const held = (await manager.get('/v1/usage-readings?status=held')).body.items[0];
    await manager.post(`/v1/usage-readings/${held.id}/discard`, { reason: 'misread' });
    const seen = { vehicleId: own.vehicleId, seenAt: '2026-04-01T10:00:00Z', code: 'SPN 111 FMI 1' };
    const reported = await mechanic.post('/v1/faults', { faults: [seen] });
    expect(reported.status).toBe(201);
    const warm = { vehicleId: own.vehicleId, readAt: '2026-04-01T10:00:00Z' };
    await mechanic.post('/v1/coolant-temperatures', {
      samples: [{ ...warm, temperature: { value: 95, unit: 'C' } }],
    });
    const person = await manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' });
    const page = await signedIn(service.url, manager, person.body.id);
    await page.delete('/v1/sessions/current');
    const source = await manager.post('/v1/telematics-sources', { name: 'Box', kind: 'push' });
    const readings = [{ at: '2026-04-01T10:00:00Z', engineHours: { value: 7, unit: 'h' } }];
    const sourcePath = `telematics-sources/${source.body.id}`;
    await manager.post(`/v1/${sourcePath}/reports`, { machines: [{ serialNumber: 'S-1', readings }] });
    const defect = await mechanic.post('/v1/defects', {
      ...{ vehicleId: own.vehicleId, reportedAt: '2026-04-01T11:00:00Z', source: 'driver', what: 'Steam' },
    });
    expect(defect.status).toBe(201);
    const defectPath = `defects/${defect.body.id}`;
    const label = service.url + (await labelOf(fleet, own.vehicleId));
    const sent = await sendForm(label, { id: idOf(await open(label)), trouble: ['belt-noise'] });
    expect(sent.status).toBe(303);
    const renewed = await manager.post(`/v1/vehicles/${own.vehicleId}/label/renew`);
    expect(renewed.status).toBe(200);
    expect((await manager.post('/v1/vehicle-labels', {})).body.complete).toBe(true);
    const taken = { decidedBy: 'badge 7', component: 'other', action: 'replace', vehicleStays: true };
    expect((await mechanic.post(`/v1/${defectPath}/triage`, taken)).status).toBe(200);
    const dismissal = { decidedBy: 'badge 7', reason: 'nothing found' };
    expect((await mechanic.post(`/v1/${defectPath}/dismiss`, dismissal)).status).toBe(200);
    const sheet = await manager.post('/v1/spec-sheets', HYBRID_SHEET);
    const hybrid = await manager.post('/v1/vehicles', {
      ...{ unitNumber: 'H-1', depotId: own.depotId, specSheetId: sheet.body.id },
    });
    expect(hybrid.status).toBe(201);
    for (const path of [
      `vehicles/${hybrid.body.id}/job-card?lines=coolant:replace@battery`,
      ...['coolant-temperatures', 'coolant-temperature-trend'].map((of) => `vehicles/${own.vehicleId}/${of}`),
      ...['telematics-sources', sourcePath, `${sourcePath}/machines`],
      ...[defectPath, `${defectPath}/attachments`, 'defects?unitNumber=R-114&state=open'],
      ...[`faults/${reported.body.faults[0].id}`, `faults?vehicleId=${own.vehicleId}`],
      ...[
        'due-list',
        'due-list/summary',
        'today',
        'due-list/summary?q=R',
        'due-list?q=R',
        'due-list.csv',
        'due-list.ics',
        'vehicles',
        'vehicles.csv',
        'vehicle-labels',
        `vehicle-labels/${renewed.body.address.slice(-43)}`,
      ],
      ...[
        'depots',
        'spec-sheets',
        'interval-plans',
        'job-reports',
        'loss-alerts',
        'reminders',
        'audit',
        'tokens',
      ],
      ...['history', 'loss-trend', 'readings', 'usage', 'job-card'].map(
        (of) => `vehicles/${own.vehicleId}/${of}`,
      ),
      ...[`vehicles/${own.vehicleId}`, `depots/${own.depotId}`, `job-reports/${posted.body.id}`],
      ...[`loss-alerts/${alert.id}`, 'interval-advice?component=water-pump', 'fleet'],
    ])
      expect([path, (await manager.get(`/v1/${path}`)).status]).toEqual([path, 200]);
    await manager.post(`/v1/due-list/${line.id}/postpone`, { until: '2026-04-05', reason: 'no part' });
    const due = await manager.post('/v1/vehicles', {
      ...{
        unitNumber: 'Q-2',
        depotId: own.depotId,
        intervalPlanId: own.intervalPlanId,
        inServiceOn: '2021-03-15',
      },
    });
    const plan = await plannedVisits(service, fleet);
    const visit = `/v1/visit-plans/${plan.id}/visits/${plan.visits[0].id}`;
    expect((await manager.patch(visit, { dropped: true })).status).toBe(200);
    expect((await manager.patch(visit, { dropped: false, pinned: true })).status).toBe(200);
    // One of the lines is completed meanwhile, and therefore removed.
    await mechanic.post('/v1/job-reports', {
      ...{ vehicleId: due.body.id, performedAt: '2026-04-02T14:59:00Z' },
      lines: [{ component: 'coolant', action: 'replace' }],
    });
    expect((await manager.post(`/v1/visit-plans/${plan.id}/confirm`)).status).toBe(200);
    const [booked] = (await manager.get('/v1/visits')).body.items;
    const kim = await manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' });
    const mine = { kind: 'webhook', address: 'https://example.org/kim', personId: kim.body.id };
    expect((await manager.post('/v1/reminder-targets', mine)).status).toBe(201);
    const assigned = await manager.post(`/v1/visits/${booked.id}/assign`, { personId: kim.body.id });
    expect(assigned.status).toBe(200);
    await manager.get(`/v1/visits?assignedTo=${kim.body.id}`);
    await manager.patch(`/v1/people/${kim.body.id}`, { state: 'left' });
    await manager.get('/v1/due-list.ics');
    await manager.get('/v1/visits?state=done');
    await manager.get(`/v1/pick-list?depotId=${own.depotId}&on=${booked.day}`);
    expect((await manager.post(`/v1/visits/${booked.id}/cancel`, { reason: 'no part' })).status).toBe(200);
    const again = { ids: booked.lines.map((line: any) => line.dueLineId), day: booked.day };
    expect((await manager.post('/v1/visits/book', again)).body.done).toBe(again.ids.length);
    await manager.post(`/v1/job-reports/${posted.body.id}/void`, { reason: 'the wrong vehicle' });
    const imported: string[] = [];
    for (const [path, file] of [
      ['vehicles', 'unitNumber,intervalPlan\nI-1,Light trucks'],
      ['usage-readings', 'unit,readAt,odometer\nI-1,2026-03-28,9500'],
      ['job-reports', 'unit,component,action,date\nI-1,coolant,replace,2025-03-01'],
    ] as const) {
      const { body } = await manager.send('POST', `/v1/${path}/import`, file, { 'content-type': 'text/csv' });
      imported.unshift(body.importId);
    }
    const list = 'unit,depot\nS-1,Nowhere yet\n';
    const file = await manager.send('POST', '/v1/spreadsheets?kind=vehicles', list, {
      'content-type': 'text/csv',
    });
    const answers = [{ question: 'names:depot', option: 'make' }];
    await manager.patch(`/v1/spreadsheets/${file.body.id}/mapping`, { answers });
    await manager.post(`/v1/spreadsheets/${file.body.id}/dry-run`);
    const kept = await manager.post(`/v1/spreadsheets/${file.body.id}/take`);
    expect([kept.status, kept.body.accepted]).toEqual([200, 1]);
    await manager.get('/v1/imports');
    await manager.get('/v1/first-steps');
    await manager.get('/v1/reports/month');
    await manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
    for (const id of imported) expect((await manager.post(`/v1/imports/${id}/undo`)).status).toBe(200);
    await dashboard.get('/v1/due-list');
  }

  /**
   * Runs a statement as the service would on behalf of another fleet, or of none, and rolls it
   * back.
   */
  async function outcome(client: pg.Client, { text, values }: Statement): Promise<string> {
    await client.query('begin');
    try {
      const { rows, rowCount, command } = await client.query(text, values);
      const isWrite = ['INSERT', 'UPDATE', 'DELETE'].includes(command);
      return `${isWrite ? `${command} of ${rowCount}` : ''}${JSON.stringify(rows)}`;
    } catch (error) {
      return `refused: ${(error as { code?: string }).code}`;
    } finally {
      await client.query('rollback');
    }
  }

  it('are tried in many ways, most of them about one fleet', () => {
    expect(heard.size).toBeGreaterThan(100);
    const written = [...heard.keys()].filter((text) => /^\s*(with|insert|update|delete)/i.test(text));
    expect(written.length).toBeGreaterThan(20);
  });

  it('come from every function of the database, except those named here', () => {
    expect(exported.length).toBeGreaterThan(80);
    const names = exported.map(({ name }) => name);
    const excepted = [...WORD_ONLY, ...NOT_ASKED];
    expect(excepted.filter((name) => !names.includes(name))).toEqual([]);
    const missing = names.filter((name) => !asked.has(name) && !IN_THE_BACKGROUND.test(name));
    expect(missing.filter((name) => !excepted.includes(name))).toEqual([]);
  });

  it.each([
    ['select from a where fleet_id = $1', []],
    ['select from a where id = $1', ['a']],
    ['select from a join b on b.fleet_id = a.fleet_id and b.id = a.b_id where a.fleet_id = $1', []],
    ['select from a join b on b.id = a.b_id where a.fleet_id = $1', ['b']],
    ['select from a, b where a.fleet_id = $1 and b.a_id = a.id', ['b']],
    ['select from a where fleet_id = $1 and exists (select from b where b.a_id = a.id)', ['b']],
    ['select from a where fleet_id = $1 and (fleet_id, id) in (select b.fleet_id, b.a_id from b)', []],
    ['select from a where fleet_id = $1 and id in (select b.a_id from b)', ['b']],
    ['select from (select a.fleet_id from a) x join b on b.fleet_id = x.fleet_id where b.fleet_id = $1', []],
    ['with x as (select id from a) select from x join b on b.id = x.id where b.fleet_id = $1', ['a']],
    ['select from fleets f join a on a.fleet_id = f.id where f.id = $1', []],
    ['update a set n = b.n from b where b.id = a.b_id and a.fleet_id = $1', ['b']],
    ['delete from a using b where (a.fleet_id, a.id) = (b.fleet_id, b.a_id) and b.fleet_id = $1::uuid', []],
    [
      'with x as (update a set n = 1 where fleet_id = $1 returning *) select from x join b on b.fleet_id = x.fleet_id',
      [],
    ],
    ['select from a where fleet_id = $1 or n = 2', ['a']],
    ['select from a join b on b.fleet_id = a.fleet_id or b.n = 2 where a.fleet_id = $1', ['b']],
    ['select from a, b where not (b.fleet_id = a.fleet_id) and a.fleet_id = $1', ['b']],
    [
      'with x as (update b set n = 1 where fleet_id = $1 and id = $2) update a set n = 1 where fleet_id = $1',
      [],
    ],
    ['insert into a select $1, b.id from b where b.id = $2', ['b']],
    [
      'select from a left join lateral (select * from b where b.a_id = a.id) l on true where a.fleet_id = $1',
      ['b'],
    ],
  ])('show which of their tables are not tied to the fleet: %s', async (text, untied) => {
    expect(await untiedTables(text, (table) => ['fleets', 'a', 'b'].includes(table))).toEqual(untied);
  });

  it('join tables by the fleet and name it for each, so they can be distributed by it', async () => {
    const { rows } = await service.database.admin.query<{ name: string }>(
      `select table_name as name from information_schema.columns where table_schema = 'public' and column_name = 'fleet_id'`,
    );
    const tables = new Set(['fleets', ...rows.map(({ name }) => name)]);
    const loose: [string[], string][] = [];
    let read = 0;
    for (const { text } of heard.values()) {
      if (acrossFleets.has(text)) continue;
      const untied = await untiedTables(text, (table) => tables.has(table));
      if (untied.length > 0) loose.push([untied, text]);
      if (/\bjoin\b/i.test(text)) read++;
    }
    expect(read).toBeGreaterThan(30);
    expect(loose).toEqual([]);
  });

  it.each([
    ['outside any fleet', () => ''],
    ['for another fleet', () => other.fleetId],
  ])('find nothing of the fleet, and change nothing of it, %s', async (_, scope) => {
    const client = new pg.Client({ connectionString: service.database.url, options: '-c role=weephole_app' });
    await client.connect();
    const { rows } = await service.database.admin.query<{ id: string }>(
      `select id from vehicles where fleet_id = $1 union all select id from depots where fleet_id = $1
       union all select id from due_lines where fleet_id = $1 union all select id from job_reports where fleet_id = $1
       union all select id from loss_alerts where fleet_id = $1 union all select id from readings where fleet_id = $1
       union all select id from usage_readings where fleet_id = $1 union all select id from reminder_targets where fleet_id = $1`,
      [fleet.fleetId],
    );
    const ids = rows.map(({ id }) => id);
    expect(ids.length).toBeGreaterThan(20);
    const told: unknown[] = [];
    try {
      await client.query("select set_config('app.fleet_id', $1, false)", [scope()]);
      for (const statement of heard.values()) {
        if (/^\s*(start transaction|begin|commit|rollback|savepoint|release)/i.test(statement.text)) continue;
        const answer = await outcome(client, statement);
        const known = ids.filter(
          (id) => answer.includes(id) && !JSON.stringify(statement.values).includes(id),
        );
        const changed = /^(INSERT|UPDATE|DELETE) of [1-9]/.test(answer);
        if (known.length > 0 || changed) told.push([statement.text.slice(0, 160), answer.slice(0, 160)]);
      }
    } finally {
      await client.end();
    }
    expect(told).toEqual([]);
  });
});
