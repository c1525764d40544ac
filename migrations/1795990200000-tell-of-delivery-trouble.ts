import type { MigrationInterface, QueryRunner } from 'typeorm';

const NEWS = `'due-line', 'loss-alert', 'failed-reading', 'held-reading'`;
/** The columns that the sweep may read: no address and no secret. */
const SEEN_BY_SWEEP = 'fleet_id, hears, disabled_at, disabled_reason, removed_at, failing_since';

/** Delivery trouble: which targets are failing, who is told about it, and what is counted. */
export class TellOfDeliveryTrouble1795990200000 implements MigrationInterface {
  name = 'TellOfDeliveryTrouble1795990200000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table reminder_targets no force row level security');
    await run.query(
      'alter table reminder_targets add column failing_since timestamptz, add column failing_reason text',
    );
    // Not a person's decision, so it must not appear in the audit.
    await run.query('alter table reminder_targets disable trigger user');
    await run.query(
      `update reminder_targets set hears = hears || array['delivery-trouble'] where 'due-line' = any(hears)`,
    );
    await run.query('alter table reminder_targets enable trigger user');
    await this.record(run, 'fleet_id,id,version,created_at,failing_since,failing_reason');
    await run.query(
      `alter table reminders drop constraint reminders_news_ck,
         add constraint reminders_news_ck check (news in (${NEWS}, 'delivery-trouble', 'digest'))`,
    );
    await run.query('create index sweep_requests_requested_ix on sweep_requests (fleet_id, requested_at)');
    await run.query(
      'create policy reminder_targets_swept on reminder_targets for select to weephole_sweep using (true)',
    );
    await run.query(`grant select (${SEEN_BY_SWEEP}) on reminder_targets to weephole_sweep`);
    await run.query('alter table reminder_targets force row level security');
  }

  async down(run: QueryRunner): Promise<void> {
    const tables = ['reminder_targets', 'reminders', 'reminder_attempts'];
    for (const table of tables) await run.query(`alter table ${table} no force row level security`);
    await run.query(`revoke select (${SEEN_BY_SWEEP}) on reminder_targets from weephole_sweep`);
    await run.query('drop policy reminder_targets_swept on reminder_targets');
    await run.query('drop index sweep_requests_requested_ix');
    await run.query(`delete from reminder_attempts a using reminders r
      where r.fleet_id = a.fleet_id and r.id = a.reminder_id and r.news = 'delivery-trouble'`);
    await run.query(`delete from reminders where news = 'delivery-trouble'`);
    await run.query(
      `alter table reminders drop constraint reminders_news_ck,
         add constraint reminders_news_ck check (news in (${NEWS}, 'digest'))`,
    );
    await run.query('alter table reminder_targets disable trigger user');
    await run.query(`update reminder_targets set hears = array_remove(hears, 'delivery-trouble')`);
    await run.query('alter table reminder_targets enable trigger user');
    await this.record(run, 'fleet_id,id,version,created_at');
    await run.query('alter table reminder_targets drop column failing_since, drop column failing_reason');
    for (const table of tables) await run.query(`alter table ${table} force row level security`);
  }

  /** Audits all but some columns: whether messages get through is nobody's decision. */
  private async record(run: QueryRunner, leftOut: string): Promise<void> {
    await run.query('drop trigger reminder_targets_recorded on reminder_targets');
    await run.query(`create trigger reminder_targets_recorded after insert or update or delete on reminder_targets
      for each row execute function record_change('reminder-target', '{${leftOut}}', '{secret}')`);
  }
}
