import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Lets reminders report more than due lines, and lets several go in one message, a digest. A digest
 * is a reminder itself; its members carry its id and are never attempted on their own.
 */
export class WidenReminders1795700000001 implements MigrationInterface {
  name = 'WidenReminders1795700000001';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table reminder_targets
      add column duties text array not null default '{}',
      add column interval_plan_ids uuid array not null default '{}',
      add column vehicle_ids uuid array not null default '{}',
      add column previous_secret text,
      add column previous_secret_until timestamptz`);
    await run.query(`alter table reminders
      alter column due_line_id drop not null,
      alter column stage drop not null,
      add column news text not null default 'due-line',
      add column subject_id uuid,
      add column vehicle_id uuid,
      add column digest_id uuid,
      add column repeat integer not null default 0,
      drop constraint reminders_once_uq,
      add constraint reminders_once_uq unique (fleet_id, due_line_id, cycle, stage, target_id, repeat),
      add constraint reminders_news_ck check (news in ('due-line', 'loss-alert', 'failed-reading', 'held-reading', 'digest')),
      add constraint reminders_subject_ck check (case when news = 'due-line' then due_line_id is not null and stage is not null else subject_id is not null end),
      add constraint reminders_vehicle_fk foreign key (fleet_id, vehicle_id) references vehicles(fleet_id,id),
      add constraint reminders_digest_fk foreign key (fleet_id, digest_id) references reminders(fleet_id,id)`);
    await run.query(
      `create unique index reminders_news_uq on reminders (fleet_id, target_id, news, subject_id, cycle) where subject_id is not null`,
    );
    await run.query(`drop index reminders_waiting_ix`);
    await run.query(
      `create index reminders_waiting_ix on reminders (next_attempt_at, fleet_id, id) where status = 'waiting' and digest_id is null`,
    );
    await run.query(
      `create index reminders_digest_ix on reminders (fleet_id, digest_id, id) where digest_id is not null`,
    );
    await run.query(
      `create index reminders_gathering_ix on reminders (fleet_id, target_id) where news = 'digest' and status = 'waiting' and body is null`,
    );
    await run.query(
      `alter table reminder_attempts alter column duration_ms drop not null, add column smtp_status integer`,
    );
    await run.query(
      `create index readings_failed_ix on readings (fleet_id, received_at, id) where evaluation ->> 'verdict' = 'fail' and voided_at is null`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`drop index readings_failed_ix`);
    for (const table of ['reminders', 'reminder_attempts'])
      await run.query(`alter table ${table} no force row level security`);
    await run.query(`delete from reminder_attempts a using reminders r
      where r.fleet_id = a.fleet_id and r.id = a.reminder_id and (r.news <> 'due-line' or r.repeat > 0)`);
    await run.query(`update reminders set digest_id = null where digest_id is not null`);
    await run.query(`delete from reminders where news <> 'due-line' or repeat > 0`);
    await run.query(`update reminder_attempts set duration_ms = 0 where duration_ms is null`);
    for (const table of ['reminders', 'reminder_attempts'])
      await run.query(`alter table ${table} force row level security`);
    await run.query(
      `alter table reminder_attempts alter column duration_ms set not null, drop column smtp_status`,
    );
    await run.query(
      `drop index reminders_gathering_ix, reminders_digest_ix, reminders_waiting_ix, reminders_news_uq`,
    );
    await run.query(`alter table reminders
      drop constraint reminders_digest_fk,
      drop constraint reminders_vehicle_fk,
      drop constraint reminders_subject_ck,
      drop constraint reminders_news_ck,
      drop constraint reminders_once_uq,
      drop column repeat,
      drop column digest_id,
      drop column vehicle_id,
      drop column subject_id,
      drop column news,
      add constraint reminders_once_uq unique (fleet_id, due_line_id, cycle, stage, target_id),
      alter column stage set not null,
      alter column due_line_id set not null`);
    await run.query(
      `create index reminders_waiting_ix on reminders (next_attempt_at, fleet_id, id) where status = 'waiting'`,
    );
    await run.query(`alter table reminder_targets
      drop column previous_secret_until,
      drop column previous_secret,
      drop column vehicle_ids,
      drop column interval_plan_ids,
      drop column duties`);
  }
}
