import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Tables whose changes are recorded: what a row is called, and which columns are left out. Left out
 * are conclusions, and columns that repeat the row's own history. For a secret, the entry only says
 * that it has changed.
 */
const RECORDED: { table: string; kind: string; leftOut: string[]; secret?: string[] }[] = [
  { table: 'fleets', kind: 'fleet', leftOut: ['greatest_lead_days', 'greatest_grace_days'] },
  { table: 'depots', kind: 'depot', leftOut: [] },
  { table: 'spec_sheets', kind: 'spec-sheet', leftOut: [] },
  { table: 'interval_plans', kind: 'interval-plan', leftOut: [] },
  { table: 'vehicles', kind: 'vehicle', leftOut: [] },
  { table: 'reminder_targets', kind: 'reminder-target', leftOut: [], secret: ['secret'] },
  { table: 'access_tokens', kind: 'token', leftOut: ['last_used_at'], secret: ['hash'] },
];

const ALWAYS_LEFT_OUT = ['fleet_id', 'id', 'version', 'created_at'];

const list = (names: string[]): string => `{${names.join(',')}}`;

export class RecordChanges1795730020000 implements MigrationInterface {
  name = 'RecordChanges1795730020000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table audit_entries (
      fleet_id uuid not null,
      id uuid not null,
      at timestamptz not null,
      actor_kind text not null,
      actor text not null,
      role text,
      request_id text,
      kind text not null,
      subject_id uuid not null,
      action text not null,
      changes jsonb not null,
      constraint audit_entries_fleet_fk foreign key (fleet_id) references fleets(id),
      constraint audit_entries_actor_ck check (actor_kind in ('token', 'sign-in', 'command', 'service')),
      constraint audit_entries_pk primary key (fleet_id, id)
    )`);
    await run.query('create index audit_entries_time_ix on audit_entries (fleet_id, at, id)');
    await run.query('create index audit_entries_kind_ix on audit_entries (fleet_id, kind, at, id)');
    await run.query('create index audit_entries_subject_ix on audit_entries (fleet_id, subject_id, at, id)');
    await run.query('create index audit_entries_actor_ix on audit_entries (fleet_id, actor, at, id)');
    await run.query('alter table audit_entries enable row level security');
    await run.query('alter table audit_entries force row level security');
    // The application can read entries. Only the functions below write them, as the owner, and
    // nobody changes them.
    const inScope = `fleet_id = nullif(current_setting('app.fleet_id', true), '')::uuid`;
    await run.query(
      `create policy audit_entries_in_fleet on audit_entries to weephole_app using (${inScope}) with check (${inScope})`,
    );
    await run.query('grant select on audit_entries to weephole_app');
    await run.query(
      'create policy audit_entries_written on audit_entries for insert to weephole_owner with check (true)',
    );
    await run.query(
      'create policy audit_entries_in_depots on audit_entries as restrictive to weephole_depots using (false)',
    );
    await this.createFunctions(run);
    await this.createTriggers(run);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const table of [
      ...RECORDED.map((recorded) => recorded.table),
      'usage_readings',
      'job_reports',
      'postponements',
      'loss_alert_actions',
    ])
      await run.query(`drop trigger ${table}_recorded on ${table}`);
    await run.query('drop trigger job_reports_received on job_reports');
    for (const signature of [
      'record_change()',
      'record_event()',
      'write_audit_entry(uuid, text, uuid, text, jsonb)',
    ])
      await run.query(`drop function ${signature}`);
    await run.query('drop table audit_entries');
  }

  private async createFunctions(run: QueryRunner): Promise<void> {
    const how = 'security definer set search_path = public, pg_temp';
    // The transaction names the actor (app.actor, JSON). Without one, the service acted by itself.
    await run.query(`create function write_audit_entry(fleet uuid, what text, subject uuid, done text, difference jsonb)
      returns void language plpgsql volatile ${how}
      as $$
      declare
        who jsonb := coalesce(nullif(current_setting('app.actor', true), ''), '{}')::jsonb;
      begin
        -- With a fleet that is deleted whole, its record goes.
        insert into audit_entries (fleet_id, id, at, actor_kind, actor, role, request_id, kind, subject_id, action, changes)
        select fleet, gen_random_uuid(), coalesce((who ->> 'at')::timestamptz, clock_timestamp()), coalesce(who ->> 'kind', 'service'), coalesce(who ->> 'id', 'service'),
          who ->> 'role', who ->> 'requestId', what, subject, done, difference
        where exists (select from fleets f where f.id = fleet);
      end $$`);
    // Arguments: what the row is called, columns that are left out, columns whose values are not
    // shown.
    await run.query(`create function record_change()
      returns trigger language plpgsql volatile ${how}
      as $$
      declare
        before jsonb := case when tg_op = 'INSERT' then '{}' else to_jsonb(old) end;
        after jsonb := case when tg_op = 'DELETE' then '{}' else to_jsonb(new) end;
        subject jsonb := case when tg_op = 'DELETE' then before else after end;
        difference jsonb;
        done text;
      begin
        select jsonb_object_agg(field, case when field = any (tg_argv[2]::text[]) then '{"hidden": true}'::jsonb
            else jsonb_build_object('from', coalesce(before -> field, 'null'), 'to', coalesce(after -> field, 'null')) end)
          into difference
          from jsonb_object_keys(before || after) field
          where field <> all (tg_argv[1]::text[]) and coalesce(before -> field, 'null') is distinct from coalesce(after -> field, 'null');
        if tg_op = 'UPDATE' and difference is null then return null; end if;
        done := case
          when tg_op = 'INSERT' then 'created'
          when tg_op = 'DELETE' then 'deleted'
          when difference ? 'revoked_at' then 'revoked'
          when difference ? 'removed_at' then 'deleted'
          else 'changed' end;
        perform write_audit_entry((coalesce(subject ->> 'fleet_id', subject ->> 'id'))::uuid, tg_argv[0], (subject ->> 'id')::uuid, done, coalesce(difference, '{}'));
        return null;
      end $$`);
    // Arguments: what is acted on; the column with its id; what was done, or null; the column that
    // says what was done; the columns to show.
    await run.query(`create function record_event()
      returns trigger language plpgsql volatile ${how}
      as $$
      declare
        after jsonb := to_jsonb(new);
        before jsonb := case when tg_op = 'INSERT' then '{}' else to_jsonb(old) end;
        difference jsonb;
      begin
        select jsonb_object_agg(field, jsonb_build_object('from', coalesce(before -> field, 'null'), 'to', coalesce(after -> field, 'null')))
          into difference
          from unnest(tg_argv[3]::text[]) field
          where coalesce(before -> field, 'null') is distinct from coalesce(after -> field, 'null');
        perform write_audit_entry(new.fleet_id, tg_argv[0], (after ->> tg_argv[1])::uuid, coalesce(after ->> tg_argv[2], tg_argv[2]), coalesce(difference, '{}'));
        return null;
      end $$`);
    for (const signature of [
      'record_change()',
      'record_event()',
      'write_audit_entry(uuid, text, uuid, text, jsonb)',
    ])
      await run.query(`revoke all on function ${signature} from public`);
  }

  private async createTriggers(run: QueryRunner): Promise<void> {
    for (const { table, kind, leftOut, secret = [] } of RECORDED) {
      await run.query(`create trigger ${table}_recorded after insert or update or delete on ${table}
        for each row execute function record_change('${kind}', '${list([...ALWAYS_LEFT_OUT, ...leftOut])}', '${list(secret)}')`);
    }
    // The usage reading of a job is recorded with its report.
    await run.query(`create trigger usage_readings_recorded after update of decision on usage_readings
      for each row when (old.decision is distinct from new.decision and new.job_report_id is null)
      execute function record_event('usage-reading', 'id', 'decision', '{decision}')`);
    await run.query(`create trigger job_reports_recorded after update of voided_at on job_reports
      for each row when (old.voided_at is distinct from new.voided_at)
      execute function record_event('job-report', 'id', 'voided', '{void_reason}')`);
    // A baseline is history that was imported by the thousand, and it keeps its token itself.
    await run.query(`create trigger job_reports_received after insert on job_reports
      for each row when (not new.is_baseline)
      execute function record_event('job-report', 'id', 'recorded', '{vehicle_id,performed_at,performed_by}')`);
    await run.query(`create trigger postponements_recorded after insert on postponements
      for each row execute function record_event('due-line', 'due_line_id', 'postponed', '{reason,until_on,until_odometer_lifetime_km,until_engine_hours_lifetime,old_due_on,new_due_on}')`);
    await run.query(`create trigger loss_alert_actions_recorded after insert on loss_alert_actions
      for each row execute function record_event('loss-alert', 'alert_id', 'action', '{note,until}')`);
  }
}
