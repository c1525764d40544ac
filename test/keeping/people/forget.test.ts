import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { forgetPerson, type Forgotten } from '../../../src/keeping/people/forget-person.js';
import { schema } from '../../../src/schema.js';
import { fillFleet } from '../../support/full-fleet.js';
import { type Issuer, startIssuer } from '../../support/issuer.js';
import { goodJob } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { columnsHolding, columnsWithWords } from '../../support/stored-words.js';

const NOW = '2026-04-02T15:00:00Z';
const NAME = 'Dana Reyes-Łuk';
const SUBJECT = 'auth0|d4n4-77';
const ADDRESS = 'dana.reyes@workshop.example';
const PEOPLE = [NAME, SUBJECT, ADDRESS];
/** Other people, whose names look alike in part. */
const OTHERS = ['Dana Reyes-Łukas', 'Jordana Reyes-Łuk', 'Dana Reyes'];

describe('forgetting a person', () => {
  let service: Service;
  let issuer: Issuer;
  let fleet: FleetHandle;
  let other: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    issuer = await startIssuer();
    service = await startService({
      at: NOW,
      env: {
        ...{ OIDC_ISSUER: issuer.url, OIDC_AUDIENCE: 'weephole', REQUESTS_PER_MINUTE: '1000' },
        // Nothing is sent: there is no worker.
        ...{ SMTP_URL: 'smtp://127.0.0.1:9', MAIL_FROM: 'fleet@example.org' },
      },
    });
    fleet = await service.newFleet();
    other = await service.newFleet();
    await fillFleet(service, fleet, 'A-');
    vehicleId = (await fleet.dashboard.get('/v1/vehicles')).body.items[0].id;
  });
  afterAll(async () => {
    await service.stop();
    await issuer.close();
  });

  const forget = (
    people: string[],
    more: Partial<Parameters<typeof forgetPerson>[1]> = {},
  ): Promise<Forgotten> => forgetPerson(service.database.url, { people, fleetId: null, ...more });
  const look = async (text: string, values: unknown[] = []): Promise<any[]> =>
    (await service.database.admin.query(text, values)).rows;
  const made = async ({ status, body }: { status: number; body: any }): Promise<any> => {
    if (status > 201) throw new Error(JSON.stringify(body));
    return body;
  };

  /** Has the person leave their name, subject and address wherever the API takes them. */
  async function workOf(who: FleetHandle, vehicle: string): Promise<Record<string, string>> {
    const { manager, mechanic } = who;
    const token = await made(
      await manager.post(
        '/v1/tokens',
        { name: `phone of ${NAME}`, role: 'mechanic' },
        { 'idempotency-key': 'k-1' },
      ),
    );
    const job = await made(
      await mechanic.post(
        '/v1/job-reports',
        {
          ...goodJob(vehicle, '2026-03-25T10:00:00Z', 9500),
          performedBy: NAME,
          notes: `Seen by ${NAME.toUpperCase()}.\n${NAME} says: belt's new; write to <${ADDRESS}>. ${OTHERS.join(', ')}`,
          lines: [{ component: 'other', action: 'inspect', finding: `dana  reyes-łuk's note "${NAME}"` }],
        },
        { 'idempotency-key': 'k-2' },
      ),
    );
    const target = await made(
      await manager.post('/v1/reminder-targets', { kind: 'email', address: ADDRESS }),
    );
    const jwt = await issuer.sign({
      ...{ iss: issuer.url, aud: 'weephole', exp: Date.parse(NOW) / 1000 + 600, sub: SUBJECT },
      ...{ weephole_fleet: who.fleetId, weephole_role: 'manager' },
    });
    await made(
      await service.client(jwt).patch(`/v1/depots/${(await manager.get('/v1/depots')).body.items[0].id}`, {
        name: `Ridge, ask ${NAME}`,
      }),
    );
    const { items } = (await manager.get('/v1/due-list?state=late,due,window,not-due')).body;
    const line = items.find(({ atOnce }: any) => !atOnce);
    await manager.post(`/v1/due-list/${line.id}/postpone`, {
      until: '2026-12-01',
      reason: `${NAME} is away`,
    });
    const person = await made(
      await manager.post('/v1/people', { name: NAME, badge: 'D-77', role: 'mechanic' }),
    );
    const phone = await made(
      await manager.post('/v1/tokens', { name: 'phone', role: 'mechanic', personId: person.id }),
    );
    return { tokenId: token.id, jobId: job.id, targetId: target.id, personId: person.id, phone: phone.token };
  }

  it('leaves no trace in any column of any table, and reports what changed', async () => {
    const ids = await workOf(fleet, vehicleId);
    expect((await columnsHolding(service.database.admin, 'reyes-łuk')).length).toBeGreaterThan(6);
    const { standIn, changed, targetsTurnedOff, peopleLeft, dryRun } = await forget(PEOPLE);
    expect([standIn, dryRun]).toEqual([expect.stringMatching(/^forgotten-[0-9a-f]{12}$/), false]);
    for (const word of [SUBJECT, ADDRESS, `"${NAME}"`, `by ${NAME}`, `${NAME}"`])
      expect([word, await columnsHolding(service.database.admin, word)]).toEqual([word, []]);
    expect(changed.map(({ table, column }) => `${table}.${column}`)).toEqual(
      expect.arrayContaining([
        ...['access_tokens.name', 'job_reports.performed_by', 'job_reports.notes', 'job_lines.finding'],
        ...[
          'audit_entries.actor',
          'audit_entries.changes',
          'idempotency_records.body',
          'reminder_targets.address',
        ],
        ...['depots.name', 'people.name', 'postponements.reason', 'request_counts.key'],
      ]),
    );
    expect(changed.find(({ column }) => column === 'performed_by')).toMatchObject({
      ...{ fleetId: fleet.fleetId, table: 'job_reports', rows: 1 },
    });
    const report = (await fleet.dashboard.get(`/v1/job-reports/${ids.jobId}`)).body;
    expect(report.performedBy).toBe(standIn);
    expect(report.lines[0].finding).toBe(`${standIn}'s note "${standIn}"`);
    expect(report.notes).toBe(
      `Seen by ${standIn}.\n${standIn} says: belt's new; write to <${standIn}@forgotten.invalid>. ${OTHERS.join(', ')}`,
    );
    expect(peopleLeft).toEqual([ids.personId]);
    expect((await fleet.manager.get(`/v1/people/${ids.personId}`)).body).toMatchObject({
      ...{ name: standIn, badge: null, state: 'left' },
    });
    expect((await service.client(ids.phone as string).get('/v1/me')).status).toBe(401);
    expect(targetsTurnedOff).toEqual([ids.targetId]);
    const target = (await fleet.manager.get(`/v1/reminder-targets/${ids.targetId}`)).body;
    expect(target).toMatchObject({ address: `${standIn}@forgotten.invalid` });
    expect(JSON.stringify(target)).toContain('forgotten');
  });

  it('gives the same stand-in in audit and records, and reloads a cached list', async () => {
    await workOf(fleet, vehicleId).catch(() => undefined);
    const path = '/v1/due-list/summary';
    const before = await fleet.dashboard.get(path);
    const { standIn } = await forget(PEOPLE);
    const after = await fleet.dashboard.get(path, { 'if-none-match': String(before.headers.get('etag')) });
    expect(after.status).toBe(200);
    const audit = (await fleet.manager.get(`/v1/audit?actor=${standIn}`)).body.items;
    expect(audit.length).toBeGreaterThan(0);
    expect(audit[0].actor).toMatchObject({ kind: 'sign-in', id: standIn });
    const byCommand = await look(`select changes from audit_entries where actor = 'npm run forget'`);
    expect(JSON.stringify(byCommand)).not.toMatch(/Dana Reyes-Łuk(?!a)/);
  });

  it('leaves conclusions as a rebuild would draw them', async () => {
    const { differences, vehicles } = await rebuildAll({
      databaseUrl: service.database.url,
      schema,
      clock: service.clock,
    });
    expect([differences, vehicles > 0]).toEqual([[], true]);
  });

  it('works in every fleet or in one, and a dry run reports the changes and changes nothing', async () => {
    const depot = await made(await other.manager.post('/v1/depots', { name: 'Yard of Kim Oduya' }));
    await made(await fleet.manager.post('/v1/depots', { name: 'Yard of Kim Oduya' }));
    const tried = await forget(['Kim Oduya'], { isDryRun: true });
    expect(
      tried.changed
        .filter(({ column }) => column === 'name')
        .map(({ fleetId }) => fleetId)
        .sort(),
    ).toEqual([fleet.fleetId, other.fleetId].sort());
    expect((await other.manager.get(`/v1/depots/${depot.id}`)).body.name).toBe('Yard of Kim Oduya');
    await forget(['Kim Oduya'], { fleetId: other.fleetId });
    expect(await columnsHolding(service.database.admin, 'Kim Oduya', other.fleetId)).toEqual([]);
    expect(await columnsHolding(service.database.admin, 'Kim Oduya', fleet.fleetId)).toContain('depots.name');
    const again = await forget(['kim oduya'], { standIn: 'forgotten-0123456789ab' });
    expect(again.standIn).toBe('forgotten-0123456789ab');
    expect(await look(`select name from depots where name like 'Yard%forgotten-0123456789ab'`)).toHaveLength(
      1,
    );
  });

  it('needs a name that is long enough and is not a word of the service itself', async () => {
    for (const [name, why] of [
      ['coolant', /a word that the service itself writes/],
      ['Manager', /a word that the service itself writes/],
      ['-', /too little to tell a person by/],
      ['', /too little to tell a person by/],
    ] as const)
      await expect(async () => forget([name])).rejects.toThrow(why);
    await expect(forget(['Kim Oduya'], { fleetId: 'no-fleet' })).rejects.toThrow(/--fleet is "no-fleet"/);
  });

  it('leaves the names of those who reported, decided about and repaired a defect for three months', async () => {
    const own = await service.newFleet();
    const { manager, mechanic } = own;
    const { id: vehicle } = await made(await manager.post('/v1/vehicles', { unitNumber: 'V-1' }));
    const name = 'Ines Varga';
    const report = {
      vehicleId: vehicle,
      reportedAt: '2026-03-25T10:00:00Z',
      source: 'driver',
      reportedBy: name,
    };
    const { id } = await made(
      await mechanic.post('/v1/defects', { ...report, what: `${name} smells coolant` }),
    );
    const other = await made(await mechanic.post('/v1/defects', { ...report, what: 'Belt squeals' }));
    await made(await manager.post(`/v1/defects/${other.id}/dismiss`, { decidedBy: name, reason: 'dry' }));
    await made(
      await mechanic.post('/v1/job-reports', {
        ...{
          vehicleId: vehicle,
          performedAt: '2026-03-26T10:00:00Z',
          performedBy: name,
          repairedDefects: [id],
        },
      }),
    );
    const { admin } = service.database;
    // The command goes by the clock of the database.
    const age = async (months: number): Promise<void> => {
      for (const [table, column] of [
        ['defects', 'reported_at'],
        ['defect_decisions', 'at'],
        ['job_reports', 'performed_at'],
      ])
        await admin.query(
          `update ${table} set ${column} = now() - make_interval(months => $1) where fleet_id = $2`,
          [months, own.fleetId],
        );
    };
    await age(2);
    const { standIn, kept, changed } = await forget([name]);
    expect(kept.map(({ table, column, rows }) => `${table}.${column} ${rows}`).sort()).toEqual([
      ...['defect_decisions.decided_by 1', 'defects.reported_by 2', 'job_reports.performed_by 1'],
    ]);
    expect(changed.map(({ table, column }) => `${table}.${column}`)).toContain('defects.what');
    const { body } = await manager.get(`/v1/defects/${id}`);
    expect(body).toMatchObject({ reportedBy: name, certificate: { certifiedBy: name } });
    expect(body.what).toBe(`${standIn} smells coolant`);
    await age(4);
    expect((await forget([name], { standIn })).kept).toEqual([]);
    expect((await manager.get(`/v1/defects/${id}`)).body.certificate.certifiedBy).toBe(standIn);
    expect(await columnsHolding(admin, name)).toEqual([]);
  });

  it('misses no table added later: the command refuses until it sees the rows', async () => {
    const { admin } = service.database;
    const note = 'Kim Oduya was here';
    await admin.query('create table later (fleet_id uuid not null primary key, note text)');
    await admin.query('alter table later owner to weephole_owner');
    await admin.query('alter table later enable row level security, force row level security');
    await admin.query('insert into later values ($1, $2)', [fleet.fleetId, note]);
    await expect(forget(['Kim Oduya'])).rejects.toThrow(/The rows of later are closed to the owner/);
    await admin.query(
      `create policy later_kept on later to weephole_owner using (fleet_id = current_setting('app.entered_fleet_id')::uuid)`,
    );
    const { changed } = await forget(['Kim Oduya']);
    expect(changed).toContainEqual(expect.objectContaining({ table: 'later', column: 'note', rows: 1 }));
    await admin.query('alter table later add column place point');
    await expect(forget(['Kim Oduya'])).rejects.toThrow(/later.place is of the type point/);
    await admin.query('drop table later');
  });

  it('covers every column that can hold words, also those added later', async () => {
    const { admin } = service.database;
    const columns = (await columnsWithWords(admin)).filter(({ table }) => !table.startsWith('bullmq.'));
    const name = 'Quenby Ålund';
    const filled: string[] = [];
    // As a script beside the service would write it: without the triggers that record changes.
    await admin.query('set session_replication_role = replica');
    for (const { table, column, type } of columns.filter((each) => each.type !== 'bytea')) {
      const literal = admin.escapeLiteral(name);
      const value: Record<string, string> = {
        'text[]': `array[${literal}]`,
        jsonb: `jsonb_build_object('a', jsonb_build_array(${literal}), ${literal}, 'seen by ' || ${literal} || '.')`,
        json: `json_build_object('a', ${literal})`,
      };
      try {
        const { rowCount } = await admin.query(
          `update ${table} set "${column}" = ${value[type] ?? literal} where ctid = (select min(ctid) from ${table})`,
        );
        if (rowCount) filled.push(`${table.replace('public.', '')}.${column}`);
      } catch (error) {
        // What has its own words is held to them by the database.
        expect([table, column, (error as { code?: string }).code]).toEqual([table, column, '23514']);
      }
    }
    // Younger ones would keep their names.
    await admin.query(`update defects set reported_at = '2020-01-01'`);
    await admin.query(`update defect_decisions set at = '2020-01-02'`);
    await admin.query('set session_replication_role = origin');
    const kept = ['fleets.time_zone', 'schema_migrations.name'];
    expect(filled.length).toBeGreaterThan(60);
    expect(filled).toEqual(expect.arrayContaining(['usage_summaries.memory', 'due_lines.item', ...kept]));
    await forget([name]);
    expect(await columnsHolding(admin, name)).toEqual(kept);
  });
});
