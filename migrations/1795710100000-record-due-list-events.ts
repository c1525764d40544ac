import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;

/**
 * Creates the source of event streams: which due lines and loss alerts each transaction changed, in
 * an order in which none is missed.
 */
export class RecordDueListEvents1795710100000 implements MigrationInterface {
  name = 'RecordDueListEvents1795710100000';

  async up(run: QueryRunner): Promise<void> {
    // A bigint instead of an xid8: its comparison is leakproof, so the index works under row-level
    // security.
    await run.query(`create table due_list_events (
      fleet_id uuid not null,
      xid bigint not null,
      seq integer not null,
      kind text not null,
      subject_ids uuid array not null,
      left_depot_ids uuid array,
      recorded_at timestamptz not null default clock_timestamp(),
      constraint due_list_events_kind_ck check (kind in ('due-line', 'loss-alert')),
      constraint due_list_events_pk primary key (fleet_id, xid, seq)
    )`);
    await run.query(`create index due_list_events_age_ix on due_list_events (fleet_id, recorded_at)`);
    await run.query(`alter table due_list_events enable row level security`);
    await run.query(`alter table due_list_events force row level security`);
    await run.query(
      `create policy due_list_events_in_fleet on due_list_events to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
    );
    await run.query(`grant select, insert, delete on due_list_events to weephole_app`);
    await this.createFunctions(run);
    await this.createTriggers(run);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const table of ['due_lines', 'loss_alerts'])
      for (const act of ['inserted', 'updated'])
        await run.query(`drop trigger ${table}_${act}_tell on ${table}`);
    await run.query(`drop function tell_due_lines_inserted(), tell_due_lines_updated()`);
    await run.query(`drop function tell_loss_alerts_inserted(), tell_loss_alerts_updated()`);
    await run.query(`drop function tell_due_list(uuid, text, uuid[], uuid[])`);
    await run.query(`drop table due_list_events`);
  }

  private async createFunctions(run: QueryRunner): Promise<void> {
    // One row for up to 1,000 subjects: a batch of readings that moves 15,000 lines writes 15 rows.
    await run.query(`create function tell_due_list(fleet uuid, what text, subjects uuid[], left_depots uuid[])
      returns void language plpgsql volatile set search_path = public, pg_temp
      as $$
      declare
        tx bigint := pg_current_xact_id()::text::bigint;
        before integer := coalesce((select max(e.seq) from due_list_events e where e.fleet_id = fleet and e.xid = tx), 0);
      begin
        insert into due_list_events (fleet_id, xid, seq, kind, subject_ids, left_depot_ids)
        select fleet, tx, before + n, what, subjects[1000 * (n - 1) + 1 : 1000 * n], left_depots[1000 * (n - 1) + 1 : 1000 * n]
        from generate_series(1, (cardinality(subjects) + 999) / 1000) n;
        -- The same notice twice in a transaction is sent once.
        perform pg_notify('due_list_events', fleet::text);
      end $$`);
    // The set of rows that a statement changed has no statistics, and a plan made for a small set
    // is reused for a large one. Joining the rows one by one would then take quadratic time.
    const trigger = (name: string, body: string): Promise<unknown> =>
      run.query(`create function ${name}() returns trigger language plpgsql volatile set search_path = public, pg_temp set enable_nestloop = off
        as $$ begin ${body} return null; end $$`);
    for (const [table, kind] of [
      ['due_lines', 'due-line'],
      ['loss_alerts', 'loss-alert'],
    ] as const) {
      await trigger(
        `tell_${table}_inserted`,
        `perform tell_due_list(c.fleet_id, '${kind}', c.ids, null)
         from (select n.fleet_id, array_agg(n.id order by n.id) as ids from new_rows n group by n.fleet_id) c;`,
      );
    }
    await trigger(
      'tell_due_lines_updated',
      `perform tell_due_list(c.fleet_id, 'due-line', c.ids, case when c.moved then c.depots end)
       from (select n.fleet_id, array_agg(n.id order by n.id) as ids, array_agg(o.depot_id order by n.id) as depots,
               bool_or(o.depot_id is distinct from n.depot_id) as moved
             from new_rows n join old_rows o on o.fleet_id = n.fleet_id and o.id = n.id
             where o.* is distinct from n.* group by n.fleet_id) c;`,
    );
    await trigger(
      'tell_loss_alerts_updated',
      `perform tell_due_list(c.fleet_id, 'loss-alert', c.ids, null)
       from (select n.fleet_id, array_agg(n.id order by n.id) as ids
             from new_rows n join old_rows o on o.fleet_id = n.fleet_id and o.id = n.id
             where o.* is distinct from n.* group by n.fleet_id) c;`,
    );
    for (const name of ['tell_due_list(uuid, text, uuid[], uuid[])']) {
      await run.query(`revoke all on function ${name} from public`);
      await run.query(`grant execute on function ${name} to weephole_app`);
    }
  }

  private async createTriggers(run: QueryRunner): Promise<void> {
    for (const table of ['due_lines', 'loss_alerts']) {
      await run.query(`create trigger ${table}_inserted_tell after insert on ${table}
        referencing new table as new_rows for each statement execute function tell_${table}_inserted()`);
      await run.query(`create trigger ${table}_updated_tell after update on ${table}
        referencing old table as old_rows new table as new_rows for each statement execute function tell_${table}_updated()`);
    }
  }
}
