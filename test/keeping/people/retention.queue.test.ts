import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { schema } from '../../../src/schema.js';
import { paper } from '../../support/pictures.js';
import { signedIn } from '../../support/browser-client.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
/** Longer ago than a year, and less long. */
const [OLD, RECENT] = ['2025-03-20T10:00:00Z', '2026-03-25T10:00:00Z'];

describe('data older than the settings allow', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;

  async function start(env: Record<string, string>): Promise<void> {
    service = await startService({
      at: NOW,
      withWorker: true,
      env: { SMTP_URL: 'smtp://127.0.0.1:9', MAIL_FROM: 'fleet@example.org', ...env },
    });
    fleet = await service.newFleet();
    ({ vehicleId } = await postScenario(fleet));
  }
  afterEach(() => service.stop());

  const look = async (text: string, values: unknown[] = []): Promise<any[]> =>
    (await service.database.admin.query(text, values)).rows;
  async function job(performedAt: string, performedBy: string): Promise<string> {
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...goodJob(vehicleId, performedAt, performedAt === OLD ? 8000 : 9000),
      ...{ performedBy },
    });
    expect([status, body.title]).toEqual([201, undefined]);
    return body.id;
  }
  async function attach(reportId: string): Promise<{ id: string; href: string }> {
    const { body } = await fleet.mechanic.send(
      ...(['POST', `/v1/job-reports/${reportId}/attachments`, paper(1500)] as const),
      { 'content-type': 'application/pdf' },
    );
    return body;
  }
  const files = (): Promise<string[]> =>
    readdir(join(service.config.attachments.directory, fleet.fleetId)).catch(() => []);
  async function night(): Promise<void> {
    const queue = service.app.get(WorkQueue).queue('work');
    const added = await queue.add(
      'apply-retention',
      { fleetId: fleet.fleetId },
      { removeOnComplete: false, removeOnFail: false },
    );
    await until(async () => ['completed', 'failed'].includes(await added.getState()), 20_000);
    expect([await added.getState(), (await queue.getJob(String(added.id)))?.failedReason]).toEqual([
      'completed',
      undefined,
    ]);
  }

  it('are kept for good by default; only the files of voided attachments go', async () => {
    await start({});
    const id = await job(OLD, 'Kim Oduya');
    await job(RECENT, 'Kim Oduya');
    const attachment = await attach(id);
    await service.database.admin.query(`update attachments set received_at = '2020-01-01'`);
    await service.database.admin.query(
      `update attachments set voided_at = '2021-01-01', void_reason = '"an older version"' where id = $1`,
      [(await attach(await job('2025-05-05T10:00:00Z', 'Kim Oduya'))).id],
    );
    await service.database.admin.query(`update audit_entries set at = '2020-01-01'`);
    const before = await look('select count(*) from audit_entries');
    await night();
    expect(await look(`select count(*)::int as n from job_reports where performed_by = 'Kim Oduya'`)).toEqual(
      [{ n: 3 }],
    );
    expect((await look('select count(*) from audit_entries'))[0].count >= before[0].count).toBe(true);
    expect(await files()).toEqual([attachment.id]);
  });

  it('lose their names: who did a job, who signed in, who held an ended token, where reminders went', async () => {
    await start({ RETENTION_PEOPLE_MONTHS: '12' });
    const [old, recent] = [await job(OLD, 'Kim Oduya'), await job(RECENT, 'Kim Oduya')];
    const token = (await fleet.manager.post('/v1/tokens', { name: 'phone of Kim Oduya', role: 'mechanic' }))
      .body;
    const kept = (await fleet.manager.post('/v1/tokens', { name: 'tablet of Kim Oduya', role: 'mechanic' }))
      .body;
    const target = (
      await fleet.manager.post('/v1/reminder-targets', {
        kind: 'email',
        address: 'kim.oduya@workshop.example',
      })
    ).body;
    expect((await fleet.manager.delete(`/v1/tokens/${token.id}`)).status).toBe(204);
    expect((await fleet.manager.delete(`/v1/reminder-targets/${target.id}`)).status).toBe(204);
    const { admin } = service.database;
    await admin.query(`update access_tokens set revoked_at = '2025-03-01' where id = $1`, [token.id]);
    await admin.query(`update reminder_targets set removed_at = '2025-03-01' where id = $1`, [target.id]);
    await admin.query(`update audit_entries set at = $1 where subject_id = any($2::uuid[])`, [OLD, [old]]);
    await admin.query(
      `update audit_entries set actor_kind = 'sign-in', actor = 'kim.oduya@idp.example', at = $1 where subject_id = $2`,
      [OLD, (await fleet.manager.get('/v1/depots')).body.items[0].id],
    );
    for (const day of [OLD, RECENT])
      await admin.query(
        `insert into imports (fleet_id, id, kind, sha256, imported_at, actor_kind, actor, undone_at, undone_by_kind, undone_by)
         values ($1, gen_random_uuid(), 'vehicles', '\\x01', $2, 'sign-in', 'kim.oduya@idp.example', $3, 'sign-in', 'kim.oduya@idp.example')`,
        [fleet.fleetId, day, RECENT],
      );
    await night();
    expect(await look('select actor, undone_by from imports order by imported_at')).toEqual([
      { actor: 'forgotten', undone_by: 'kim.oduya@idp.example' },
      { actor: 'kim.oduya@idp.example', undone_by: 'kim.oduya@idp.example' },
    ]);
    const performers = await look('select id, performed_by from job_reports order by performed_at');
    expect(performers).toEqual([
      { id: old, performed_by: 'forgotten' },
      { id: recent, performed_by: 'Kim Oduya' },
    ]);
    expect((await fleet.dashboard.get(`/v1/job-reports/${old}`)).body.performedBy).toBe('forgotten');
    expect(
      await look('select name from access_tokens where id = any($1::uuid[]) order by name', [
        [token.id, kept.id],
      ]),
    ).toEqual([{ name: 'forgotten' }, { name: 'tablet of Kim Oduya' }]);
    expect((await look('select address from reminder_targets'))[0].address).toBe(
      'forgotten@forgotten.invalid',
    );
    const audit = JSON.stringify(
      await look('select subject_id, actor, changes from audit_entries where subject_id <> all($1::uuid[])', [
        [recent, kept.id],
      ]),
    );
    expect(audit).not.toMatch(/oduya/i);
    expect(audit).toContain('"actor":"forgotten"');
    expect(
      JSON.stringify(await look('select changes from audit_entries where subject_id = $1', [recent])),
    ).toContain('Kim Oduya');
    const { differences } = await rebuildAll({
      databaseUrl: service.database.url,
      schema,
      clock: service.clock,
    });
    expect(differences).toEqual([]);
    // Done once, it is done.
    const before = await look('select count(*)::int as n from audit_entries');
    await night();
    expect(await look('select count(*)::int as n from audit_entries')).toEqual(before);
  });

  describe('about people who left', () => {
    const LEFT = '2024-03-01T10:00:00Z';
    async function person(name: string, leftAt: string | null): Promise<string> {
      const { manager } = fleet;
      const { body } = await manager.post('/v1/people', { name, badge: `B-${name}`, role: 'mechanic' });
      await signedIn(service.url, manager, body.id);
      await manager.post('/v1/tokens', { name: `phone of ${name}`, role: 'mechanic', personId: body.id });
      await job(RECENT, name);
      if (leftAt !== null) {
        const left = await manager.patch(`/v1/people/${body.id}`, { state: 'left' });
        expect([left.status, left.body.errors]).toEqual([200, undefined]);
        await look('update people set left_at = $2 where id = $1', [body.id, leftAt]);
      }
      return body.id;
    }
    const all = async (): Promise<string> =>
      JSON.stringify([
        await look('select name, badge, subject from people order by id'),
        await look('select person_id, device from sessions'),
        await look('select person_id from sign_in_links'),
        await look('select name from access_tokens'),
        await look(`select changes from audit_entries where kind in ('person', 'token', 'session')`),
      ]);

    it('is forgotten two years later by default, and only theirs', async () => {
      await start({});
      const gone = await person('Kim Oduya', LEFT);
      await person('Ann Lee', RECENT);
      await person('Bo Grant', null);
      const before = await all();
      expect(before).toContain('phone of Kim Oduya');
      await night();
      const after = await all();
      expect(after).not.toMatch(/oduya/i);
      expect(await look('select id from sessions where person_id = $1', [gone])).toEqual([]);
      for (const name of ['Ann Lee', 'Bo Grant', 'phone of Ann Lee', 'B-Ann Lee', 'phone of Bo Grant'])
        expect(after).toContain(name);
      expect((await fleet.manager.get(`/v1/people/${gone}`)).body).toMatchObject({
        ...{ name: 'forgotten', badge: null, leftAt: expect.any(String) },
      });
      // What was typed in records has a rule of its own.
      expect(await look(`select 1 from job_reports where performed_by = 'Kim Oduya'`)).toHaveLength(1);
      const audit = await look('select count(*)::int as n from audit_entries');
      await night();
      expect([await all(), await look('select count(*)::int as n from audit_entries')]).toEqual([
        after,
        audit,
      ]);
    });

    it('is kept with a longer setting, or with 0', async () => {
      await start({ RETENTION_LEFT_PEOPLE_MONTHS: '0' });
      await person('Kim Oduya', LEFT);
      await night();
      expect(await all()).toContain('"name":"Kim Oduya","badge":"B-Kim Oduya"');
    });

    it('loses sessions that ended and links that ran out a month ago, whoever they were for', async () => {
      await start({});
      await person('Bo Grant', null);
      const ended = (column: string, table: string, at: string) =>
        look(`update ${table} set ${column} = $1`, [at]);
      await ended('revoked_at', 'sessions', '2026-03-20T00:00:00Z');
      await night();
      expect(await look('select 1 from sessions')).toHaveLength(1);
      expect(await look('select 1 from sign_in_links')).toHaveLength(1);
      await ended('revoked_at', 'sessions', '2026-02-20T00:00:00Z');
      await ended('redeemed_at', 'sign_in_links', '2026-02-20T00:00:00Z');
      await night();
      expect(await look('select 1 from sessions')).toEqual([]);
      expect(await look('select 1 from sign_in_links')).toEqual([]);
    });
  });

  it('keep the names in defects and on their certificates for three months in any case', async () => {
    await start({ RETENTION_PEOPLE_MONTHS: '1' });
    const repaired = async (day: string): Promise<string> => {
      const { body } = await fleet.mechanic.post('/v1/defects', {
        ...{ vehicleId, reportedAt: day, source: 'driver', what: 'Steam', reportedBy: 'Kim Oduya' },
      });
      const report = await fleet.mechanic.post('/v1/job-reports', {
        ...{ vehicleId, performedAt: day, performedBy: 'Kim Oduya', repairedDefects: [body.id] },
      });
      expect(report.status).toBe(201);
      return body.id;
    };
    const [old, young] = [await repaired('2025-12-20T10:00:00Z'), await repaired('2026-02-10T10:00:00Z')];
    const dismissed = await fleet.mechanic.post('/v1/defects', {
      ...{ vehicleId, reportedAt: '2025-12-20T10:00:00Z', source: 'driver', what: 'Rattles' },
    });
    const decision = { decidedBy: 'Kim Oduya', reason: 'loose plate' };
    await fleet.manager.post(`/v1/defects/${dismissed.body.id}/dismiss`, decision);
    const names = async (id: string): Promise<(string | null)[]> => {
      const { body } = await fleet.dashboard.get(`/v1/defects/${id}`);
      return [body.reportedBy, body.certificate.certifiedBy];
    };
    await job('2026-02-10T12:00:00Z', 'Kim Oduya');
    await night();
    expect(await names(old)).toEqual(['forgotten', 'forgotten']);
    expect(await names(young)).toEqual(['Kim Oduya', 'Kim Oduya']);
    expect(await names(dismissed.body.id)).toEqual([null, 'Kim Oduya']);
    expect(await look(`select count(*)::int as n from job_reports where performed_by = 'Kim Oduya'`)).toEqual(
      [{ n: 1 }],
    );
    await service.database.admin.query(`update defect_decisions set at = '2025-12-21'`);
    await night();
    expect(await names(dismissed.body.id)).toEqual([null, 'forgotten']);
  });

  it('lose audit entries and attachments with their files, each by its own age and in batches', async () => {
    await start({ RETENTION_AUDIT_MONTHS: '12', RETENTION_ATTACHMENTS_MONTHS: '6' });
    const [old, recent] = [await attach(await job(OLD, 'A')), await attach(await job(RECENT, 'B'))];
    await service.database.admin.query(`update attachments set received_at = '2025-09-30' where id = $1`, [
      old.id,
    ]);
    await service.database.admin.query(
      `insert into audit_entries (fleet_id, id, at, actor_kind, actor, kind, subject_id, action, changes)
       select $1, gen_random_uuid(), '2025-03-01', 'service', 'service', 'depot', $1, 'changed', '{}' from generate_series(1, 2500)`,
      [fleet.fleetId],
    );
    const younger = await look(
      `select count(*)::int as n from audit_entries where at >= '2025-04-02T15:00:00Z'`,
    );
    await night();
    expect(
      await look(`select count(*)::int as n from audit_entries where at < '2025-04-02T15:00:00Z'`),
    ).toEqual([{ n: 0 }]);
    // And one more: that an attachment was voided, by the service.
    expect(await look(`select count(*)::int as n from audit_entries`)).toEqual([{ n: younger[0].n + 1 }]);
    expect(await files()).toEqual([recent.id]);
    const gone = await fleet.dashboard.get(old.href);
    expect([gone.status, gone.body.detail]).toEqual([
      410,
      expect.stringContaining('Attachments are kept for 6 months, and this one was older.'),
    ]);
    expect((await fleet.dashboard.get(recent.href)).status).toBe(200);
  });

  it('give the service no way to change the rest of the audit', async () => {
    await start({});
    const { admin } = service.database;
    await job(RECENT, 'Kim Oduya');
    for (const name of ['remove_audit_entries', 'hide_people_in_audit', 'forget_ended', 'forget_left_people'])
      for (const before of ['now()', "now() - interval '27 days'", 'null']) {
        await admin.query('begin');
        await admin.query('set local role weephole_app');
        await admin.query("select set_config('app.fleet_id', $1, true)", [fleet.fleetId]);
        await expect(admin.query(`select ${name}(${before}, 10)`)).rejects.toThrow(
          /last four weeks are kept/,
        );
        await admin.query('rollback');
      }
    await admin.query(`update audit_entries set at = '2020-01-01'`);
    const other = await service.newFleet();
    await admin.query('begin');
    await admin.query('set local role weephole_app');
    await admin.query("select set_config('app.fleet_id', $1, true)", [other.fleetId]);
    const { rows } = await admin.query(`select remove_audit_entries('2021-01-01', 1000) as n`);
    await admin.query('rollback');
    expect(rows).toEqual([{ n: 0 }]);
  });

  it('are removed at their hour in the queue’s schedule', async () => {
    await start({});
    await service.app.get(FleetSchedule).scheduleMornings();
    const found = (await service.app.get(WorkQueue).queue('work').getJobSchedulers(0, -1)).filter(
      ({ key }) => key === `retention_${fleet.fleetId}`,
    );
    expect(found).toMatchObject([
      { pattern: expect.stringMatching(/^\d+ 3 \* \* \*$/), tz: 'America/Denver', name: 'apply-retention' },
    ]);
  });
});
