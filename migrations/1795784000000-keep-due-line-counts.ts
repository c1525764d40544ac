import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `nullif(current_setting('app.fleet_id', true), '')::uuid`;

/** The state of a line on the day for which its fleet's lines are counted. */
const STATE = `case when l.no_baseline then 'no-baseline'
         when l.late_on <= d.day and (l.late_lapses_on is null or d.day < l.late_lapses_on or coalesce(l.late_for_good_on <= d.day, false)) then 'late'
         when l.due_on <= d.day then 'due' when l.window_opens_on <= d.day then 'window' else 'not-due' end`;

const OPEN = (rows: string, sign: 1 | -1): string =>
  `select l.*, ${sign} as n from ${rows} l where l.is_open`;

/**
 * What each kind of statement adds to the counts and subtracts. Triggers do this, so that no kind
 * of write is missed.
 */
const ACTS: Record<string, { referencing: string; changed: string; rows: string }> = {
  insert: {
    referencing: 'new table as new_rows',
    changed: OPEN('new_rows', 1),
    rows: 'new_rows',
  },
  update: {
    referencing: 'old table as old_rows new table as new_rows',
    changed: `${OPEN('new_rows', 1)} union all ${OPEN('old_rows', -1)}`,
    rows: 'new_rows',
  },
  delete: {
    referencing: 'old table as old_rows',
    changed: OPEN('old_rows', -1),
    rows: 'old_rows',
  },
};

/**
 * Keeps counts of due lines up to date with every change, so a summary reads them instead of the
 * fleet's lines.
 */
export class KeepDueLineCounts1795784000000 implements MigrationInterface {
  name = 'KeepDueLineCounts1795784000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table due_line_count_days (
      fleet_id uuid not null,
      day date not null,
      counted integer not null default 0,
      constraint due_line_count_days_pk primary key (fleet_id)
    )`);
    await run.query(`create table due_line_counts (
      fleet_id uuid not null,
      id uuid not null default uuidv7(),
      depot_id uuid,
      component text not null,
      action text not null,
      state text not null,
      lines integer not null,
      constraint due_line_counts_pk primary key (fleet_id, id)
    )`);
    for (const table of ['due_line_count_days', 'due_line_counts']) {
      await run.query(`alter table ${table} enable row level security`);
      await run.query(`alter table ${table} force row level security`);
      await run.query(
        `create policy ${table}_in_fleet on ${table} to weephole_app using (fleet_id = ${IN_SCOPE}) with check (fleet_id = ${IN_SCOPE})`,
      );
      await run.query(`grant select, insert, update, delete on ${table} to weephole_app`);
    }
    const boundTo = `depot_id = any (current_setting('app.depot_ids', true)::uuid[])`;
    await run.query(
      `create policy due_line_counts_in_depots on due_line_counts as restrictive to weephole_depots using (${boundTo}) with check (${boundTo})`,
    );
    await this.createFunctions(run);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop function count_due_lines(uuid, date)');
    for (const act of Object.keys(ACTS)) {
      await run.query(`drop trigger due_lines_${act}_count on due_lines`);
      await run.query(`drop function count_due_lines_on_${act}()`);
    }
    await run.query('drop table due_line_counts');
    await run.query('drop table due_line_count_days');
  }

  private async createFunctions(run: QueryRunner): Promise<void> {
    const lockOf = (fleet: string): string => `hashtextextended('due line counts ' || ${fleet}, 0)`;
    const how = 'language plpgsql volatile set search_path = public, pg_temp set enable_nestloop = off';
    for (const [act, { referencing, changed, rows }] of Object.entries(ACTS)) {
      // Transactions that change lines and transactions that recount them exclude each other until
      // they commit.
      await run.query(`create function count_due_lines_on_${act}() returns trigger ${how}
      as $$
      begin
        perform pg_advisory_xact_lock_shared(${lockOf('c.fleet_id')}) from (select distinct fleet_id from ${rows}) c;
        insert into due_line_counts (fleet_id, depot_id, component, action, state, lines)
        select c.* from (
          select l.fleet_id, l.depot_id, l.component, l.action, ${STATE} as state, sum(l.n) as lines
          from (${changed}) l join due_line_count_days d on d.fleet_id = l.fleet_id
          group by 1, 2, 3, 4, 5) c
        where c.lines <> 0;
        return null;
      end $$`);
      await run.query(`create trigger due_lines_${act}_count after ${act} on due_lines
        referencing ${referencing} for each statement execute function count_due_lines_on_${act}()`);
    }
    // A recount needs every change of lines to be committed. While one is in progress, it does
    // nothing and returns false.
    await run.query(`create function count_due_lines(fleet uuid, on_day date) returns boolean
      language plpgsql volatile set search_path = public, pg_temp
      as $$
      declare
        written integer;
      begin
        if pg_is_in_recovery() or not pg_try_advisory_xact_lock(${lockOf('fleet')}) then return false; end if;
        delete from due_line_counts where fleet_id = fleet;
        insert into due_line_count_days as d (fleet_id, day) values (fleet, on_day)
          on conflict (fleet_id) do update set day = excluded.day;
        insert into due_line_counts (fleet_id, depot_id, component, action, state, lines)
        select fleet, l.depot_id, l.component, l.action, ${STATE}, count(*)
        from due_lines l join due_line_count_days d on d.fleet_id = l.fleet_id where l.fleet_id = fleet and l.is_open
        group by 2, 3, 4, 5;
        get diagnostics written = row_count;
        update due_line_count_days set counted = written where fleet_id = fleet;
        return true;
      end $$`);
    await run.query('revoke all on function count_due_lines(uuid, date) from public');
    await run.query('grant execute on function count_due_lines(uuid, date) to weephole_app');
  }
}
