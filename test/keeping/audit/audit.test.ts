import { AUDITED } from '../../../src/keeping/audit/audited.js';
import { createFleet } from '../../../src/register/fleets/create-fleet.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** A paper of one page, as a browser would send it. */
function fileForm(): FormData {
  const form = new FormData();
  form.append('file', new Blob(['%PDF-1.4\n%%EOF\n'], { type: 'application/pdf' }), 'note.pdf');
  return form;
}

/** Tables whose changes are not in the audit, and why. */
const NOT_AUDITED: Record<string, string> = {
  attachment_uploads: 'the name of a file that is still arriving',
  coolant_temperature_samples: 'what a sensor read; that a day of it is voided is recorded',
  completions: 'concluded from job reports',
  due_lines: 'concluded from job reports and usage',
  due_line_count_days: 'counts of due lines',
  due_line_counts: 'counts of due lines',
  due_list_events: 'tells readers that something changed',
  fleet_changes: 'a number that rises with each change',
  fleet_sweeps: 'the days on which the service looked at the fleet',
  idempotency_records: 'answers kept for a day',
  job_lines: 'part of a job report',
  loss_alerts: 'concluded from readings; what people do about one is recorded',
  loss_cohorts: 'concluded from readings',
  planned_lines: 'what a plan proposes; that it is asked for and confirmed is recorded',
  planned_visits: 'what a plan proposes; that it is asked for and confirmed is recorded',
  re_evaluations: 'concluded from readings where a depot or vehicle changed',
  readings: 'history that keeps its own token and time',
  reminder_attempts: 'a record of its own',
  reminders: 'a record of its own, with each attempt',
  request_counts: 'how often what token was used this minute',
  spreadsheet_mappings: 'how files were read; what is taken from one is recorded as an import',
  spreadsheet_pieces: 'the rows of a file that waits',
  spreadsheets: 'a file that waits; what is taken from it is recorded as an import',
  sweep_requests: 'which vehicles the service is about to look at',
  usage_summaries: 'concluded from usage',
  vehicle_assignments: 'history that keeps its own token and time; the change of the vehicle is recorded',
  visit_lines: 'part of a visit',
  workers: 'which processes of the service live',
};

describe('the audit', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    service.clock.moveTo('2026-04-02T15:00:00Z');
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
    service.clock.moveTo('2026-04-02T16:00:00Z');
  });
  afterAll(() => service.stop());

  const entries = async (query: string): Promise<any[]> => {
    const { status, body } = await fleet.manager.get(`/v1/audit?${query}`);
    expect([status, inText(body.errors)]).toEqual([200, undefined]);
    return body.items;
  };
  /** The one entry made since the scenario was posted. */
  const entry = async (query = ''): Promise<any> => {
    const items = await entries(`from=2026-04-02T15:30:00Z&to=2026-05-01T00:00:00Z&${query}`);
    expect(items).toHaveLength(1);
    return items[0];
  };

  it('says who changed what, when, and the values before and after', async () => {
    const answer = await fleet.manager.patch(`/v1/depots/${scenario.depotId}`, {
      elevation: { value: 1600, unit: 'm' },
    });
    expect(answer.status).toBe(200);
    const tokens = (await fleet.manager.get('/v1/tokens')).body.items;
    const own = tokens.find((token: any) => token.role === 'manager');
    expect(await entry('kind=depot')).toEqual({
      id: expect.any(String),
      at: '2026-04-02T16:00:00.000Z',
      actor: { kind: 'token', id: own.id, name: 'manager', role: 'manager', person: null },
      kind: 'depot',
      subjectId: scenario.depotId,
      subjectName: expect.any(String),
      action: 'changed',
      changes: { elevationM: { from: 1500, to: 1600 } },
      requestId: expect.stringMatching(/^[0-9a-f-]{36}$/),
    });
  });

  it('says what the record is called, also once it is gone', async () => {
    const { manager } = fleet;
    const { body: depot } = await manager.post('/v1/depots', { name: 'Harbour' });
    await manager.patch(`/v1/vehicles/${scenario.vehicleId}`, { make: 'Harrow' });
    const secret = { kind: 'webhook', address: 'https://hooks.example.org/secret?token=1' };
    const target = await manager.post('/v1/reminder-targets', secret);
    const named = async (query: string) => (await entries(query)).map(({ subjectName }) => subjectName);
    expect(await named(`id=${depot.id}`)).toEqual(['Harbour']);
    expect(await named('kind=vehicle&action=changed')).toEqual(['R-114']);
    expect(await named('kind=token&limit=1')).toHaveLength(1);
    expect(target.status).toBe(201);
    expect(await named('kind=reminder-target')).toEqual(['hooks.example.org']);
    expect((await manager.delete(`/v1/depots/${depot.id}`)).status).toBe(204);
    expect(await named(`id=${depot.id}`)).toEqual(['Harbour', 'Harbour']);
    const job = await manager.post(
      '/v1/job-reports',
      goodJob(scenario.vehicleId, '2026-04-02T15:00:00Z', 9400),
    );
    expect(job.status).toBe(201);
    expect(await named('kind=job-report')).toEqual(['R-114']);
    for (const kind of AUDITED) expect(await entries(`kind=${kind}`)).toBeInstanceOf(Array);
  });

  it('records everything that can be made, changed and deleted, each with one entry', async () => {
    const { manager } = fleet;
    const made = await entries('action=created&limit=200');
    expect(made.map(({ kind }) => kind).sort()).toEqual([
      ...['depot', 'fleet', 'interval-plan', 'spec-sheet', 'token', 'token', 'token', 'vehicle'],
    ]);
    const vehicle = made.find(({ kind }) => kind === 'vehicle');
    expect(vehicle.changes).toMatchObject({
      unitNumber: { from: null, to: 'R-114' },
      duty: { from: null, to: 'severe' },
    });
    expect(Object.keys(vehicle.changes)).not.toContain('make');

    const doing: [string, () => Promise<{ status: number }>, object][] = [
      [
        'fleet',
        () => manager.patch('/v1/fleet', { name: 'North' }),
        { action: 'changed', changes: { name: { from: expect.any(String), to: 'North' } } },
      ],
      [
        'spec-sheet',
        () => manager.patch(`/v1/spec-sheets/${scenario.specSheetId}`, { hoses: ['upper'] }),
        { action: 'changed', changes: { hoses: { from: ['upper', 'lower'], to: ['upper'] } } },
      ],
      [
        'interval-plan',
        () => manager.patch(`/v1/interval-plans/${scenario.intervalPlanId}`, { name: 'Trucks' }),
        { action: 'changed', changes: { name: { from: 'Light trucks', to: 'Trucks' } } },
      ],
      [
        'vehicle',
        () => manager.patch(`/v1/vehicles/${scenario.vehicleId}`, { duty: 'normal' }),
        { action: 'changed', changes: { duty: { from: 'severe', to: 'normal' } } },
      ],
    ];
    for (const [kind, act, expected] of doing) {
      expect([kind, (await act()).status]).toEqual([kind, 200]);
      expect(await entry(`kind=${kind}`)).toMatchObject({ kind, ...expected });
    }
    const { body: spare } = await manager.post('/v1/depots', { name: 'Spare' });
    service.clock.moveTo('2026-04-02T16:01:00Z');
    expect((await manager.delete(`/v1/depots/${spare.id}`)).status).toBe(204);
    expect((await entries(`id=${spare.id}`)).map(({ action, changes }) => [action, changes])).toEqual([
      ['deleted', { name: { from: 'Spare', to: null }, closedOn: { from: [], to: null } }],
      ['created', { name: { from: null, to: 'Spare' }, closedOn: { from: null, to: [] } }],
    ]);
  });

  it('never holds a secret', async () => {
    const token = await fleet.manager.post('/v1/tokens', { name: 'Bay 2', role: 'mechanic' });
    const target = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: 'http://127.0.0.1:9/' },
    });
    expect((await fleet.manager.delete(`/v1/tokens/${token.body.id}`)).status).toBe(204);
    const all = JSON.stringify(await entries('limit=200'));
    expect(all).toContain('Bay 2');
    expect(all).toContain('"secret":{"hidden":true}');
    expect(all).toContain('"hash":{"hidden":true}');
    expect(all).not.toContain(target.body.secret.replace(/^whsec_/, ''));
    expect(all).not.toContain(token.body.token.slice(3));
    const { rows } = await service.database.admin.query(
      `select encode(hash, 'hex') as hash from access_tokens where fleet_id = $1`,
      [fleet.fleetId],
    );
    for (const { hash } of rows) expect(all).not.toContain(hash);
    const [revoked] = await entries(`id=${token.body.id}&action=revoked`);
    expect(revoked.changes).toEqual({ revokedAt: { from: null, to: expect.stringContaining('2026-04-02') } });
  });

  it('records people’s decisions: readings settled and voided, jobs reported and voided, lines postponed, alerts acted on', async () => {
    const { manager, mechanic } = fleet;
    const read = async (readAt: string, value: number) =>
      (
        await mechanic.post('/v1/usage-readings', {
          readings: [{ vehicleId: scenario.vehicleId, readAt, odometer: { value, unit: 'mi' } }],
        })
      ).body.results[0];
    const accepted = await read('2026-03-01T10:00:00Z', 9000);
    const held = await read('2026-03-02T10:00:00Z', 8000);
    expect([accepted.status, held.status]).toEqual(['accepted', 'held']);
    expect((await manager.post(`/v1/usage-readings/${held.id}/discard`)).status).toBe(200);
    expect((await manager.post(`/v1/usage-readings/${accepted.id}/void`)).status).toBe(200);
    const line = (await manager.get('/v1/due-list?state=late&component=water-pump')).body.items[0];
    const put = await manager.post(`/v1/due-list/${line.id}/postpone`, {
      ...{ until: '2026-05-01', reason: 'no part' },
    });
    expect(put.status).toBe(200);
    const job = await mechanic.post(
      '/v1/job-reports',
      goodJob(scenario.vehicleId, '2026-03-03T10:00:00Z', 9010),
    );
    const reportId = job.body.id;
    for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z'])
      await mechanic.post(`/v1/vehicles/${scenario.vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
      });
    const alert = (await mechanic.get('/v1/loss-alerts')).body.items[0];
    expect((await mechanic.post(`/v1/loss-alerts/${alert.id}/acknowledge`, {})).status).toBe(200);
    const photo = await fetch(`${service.url}/v1/job-reports/${reportId}/attachments`, {
      method: 'POST',
      headers: { authorization: `Bearer ${mechanic.token}` },
      body: fileForm(),
    });
    const attachmentId = ((await photo.json()) as { id: string }).id;
    const taken = await manager.post(`/v1/job-reports/${reportId}/attachments/${attachmentId}/void`, {
      reason: 'not this job',
    });
    expect([photo.status, taken.status]).toEqual([201, 200]);
    const voided = await manager.post(`/v1/job-reports/${reportId}/void`, { reason: 'wrong vehicle' });
    expect(voided.status).toBe(200);

    const found = (await entries('from=2026-04-02T15:30:00Z&to=2026-05-01T00:00:00Z&limit=200')).map(
      (item) => [...[item.kind, item.action, item.subjectId, item.actor.role]],
    );
    const expected = [
      ['usage-reading', 'discarded', held.id, 'manager'],
      ['usage-reading', 'voided', accepted.id, 'manager'],
      ['due-line', 'postponed', line.id, 'manager'],
      ['job-report', 'recorded', reportId, 'mechanic'],
      ['loss-alert', 'acknowledge', alert.id, 'mechanic'],
      ['attachment', 'recorded', attachmentId, 'mechanic'],
      ['attachment', 'voided', attachmentId, 'manager'],
      ['job-report', 'voided', reportId, 'manager'],
    ];
    expect(found.sort()).toEqual(expected.sort());
    const [postponed] = await entries('kind=due-line');
    expect(postponed.changes).toMatchObject({
      reason: { from: null, to: 'no part' },
      untilOn: { from: null, to: '2026-05-01' },
    });
    const [reason] = await entries('action=voided&kind=job-report');
    expect(reason.changes).toEqual({ voidReason: { from: null, to: 'wrong vehicle' } });
  });

  it('records nothing for refused, rolled back, tried or repeated requests', async () => {
    const { manager } = fleet;
    const headers = { 'idempotency-key': 'one depot' };
    const twice = [1, 2].map(() => manager.post('/v1/depots', { name: 'Once' }, headers));
    for (const { status } of await Promise.all(twice)) expect([201, 409]).toContain(status);
    expect((await manager.post('/v1/depots', { name: 'Ridge' })).status).toBe(409);
    expect((await manager.patch('/v1/fleet', { units: 'furlongs' })).status).toBe(422);
    const tried = await manager.patch(`/v1/interval-plans/${scenario.intervalPlanId}?dryRun=true`, {
      name: 'Not now',
    });
    expect(tried.status).toBe(200);
    expect((await entry()).changes.name.to).toBe('Once');
    // The same values again are no change.
    const { body } = await manager.get('/v1/fleet');
    expect((await manager.patch('/v1/fleet', { name: body.name })).status).toBe(200);
    await entry();
  });

  it('can be read only by managers, within one fleet, by pages and filters', async () => {
    for (const client of [fleet.mechanic, fleet.dashboard])
      expect((await client.get('/v1/audit')).status).toBe(403);
    const other = await service.newFleet();
    const theirs = (await other.manager.get('/v1/audit?limit=200')).body.items;
    expect(theirs.map((item: any) => item.kind).sort()).toEqual(['fleet', 'token', 'token', 'token']);

    const whole = await entries('limit=200');
    expect(whole.map(({ at }) => at)).toEqual(
      whole
        .map(({ at }) => at)
        .sort()
        .reverse(),
    );
    const paged: any[] = [];
    for (let next: string | null = ''; next !== null;) {
      const { body }: any = await fleet.manager.get(`/v1/audit?limit=3${next && `&cursor=${next}`}`);
      paged.push(...body.items);
      next = body.next;
    }
    expect(paged).toEqual(whole);
    const actor = whole.find(({ kind }) => kind === 'vehicle').actor.id;
    expect((await entries(`actor=${actor}&limit=200`)).map(({ kind }) => kind).sort()).toEqual([
      ...['depot', 'interval-plan', 'spec-sheet', 'vehicle'],
    ]);
    expect(await entries('to=2026-04-02T15:00:00Z&actor=' + actor)).toEqual([]);
    for (const bad of ['kind=thing', 'id=x', 'from=yesterday', 'action=looked', 'colour=red', 'limit=201'])
      expect([bad, (await fleet.manager.get(`/v1/audit?${bad}`)).status]).toEqual([bad, 400]);
  });

  it('names the command that made a fleet', async () => {
    const { token } = await createFleet(service.database.url, { name: 'New', timeZone: 'UTC', units: 'si' });
    const { body } = await service.client(token).get('/v1/audit');
    expect(body.items.map((item: any) => [item.kind, item.action, item.actor])).toEqual(
      expect.arrayContaining([
        ['fleet', 'created', { kind: 'command', id: 'npm run fleet', name: null, role: null, person: null }],
        ['token', 'created', { kind: 'command', id: 'npm run fleet', name: null, role: null, person: null }],
      ]),
    );
  });

  it('misses no table: each one the service may change records its changes, or says why not', async () => {
    const { rows } = await service.database.admin.query<{ table: string }>(
      `select c.relname as table from pg_class c
       where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p')
         and (has_table_privilege('weephole_app', c.oid, 'insert') or has_table_privilege('weephole_app', c.oid, 'update'))
         and not exists (select from pg_trigger t join pg_proc p on p.oid = t.tgfoid
           where t.tgrelid = c.oid and p.proname in ('record_change', 'record_event'))
       order by 1`,
    );
    expect(rows.map((row) => row.table)).toEqual(Object.keys(NOT_AUDITED).sort());
  });

  it('cannot be written, changed or deleted by the service, nor by the owner of the tables', async () => {
    const { admin } = service.database;
    const before = (await entries('limit=200')).length;
    for (const role of ['weephole_app', 'weephole_owner', 'weephole_sweep', 'weephole_depots']) {
      for (const text of [
        `update audit_entries set action = 'other'`,
        'delete from audit_entries',
        'truncate audit_entries',
        `select write_audit_entry('${fleet.fleetId}', 'depot', gen_random_uuid(), 'made up', '{}')`,
      ]) {
        if (role === 'weephole_owner' && !/^(update|delete)/.test(text)) continue;
        await admin.query('begin');
        await admin.query(`set local role ${role}`);
        await admin.query("select set_config('app.fleet_id', $1, true)", [fleet.fleetId]);
        const touched = await admin.query(text).then(
          ({ rowCount }) => rowCount,
          ({ code }) => code as string,
        );
        await admin.query('rollback');
        expect([role, text, touched]).toEqual([role, text, role === 'weephole_owner' ? 0 : '42501']);
      }
    }
    expect((await entries('limit=200')).length).toBe(before);
  });
});
