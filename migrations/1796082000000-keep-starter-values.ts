import type { MigrationInterface, QueryRunner } from 'typeorm';

const TABLES = [
  { table: 'spec_sheets', kind: 'spec-sheet' },
  { table: 'interval_plans', kind: 'interval-plan' },
];
const ALWAYS_LEFT_OUT = ['fleet_id', 'id', 'version', 'created_at'];
/** The entry already says who acted. */
const WHO = ['confirmed_by_kind', 'confirmed_by'];

/**
 * Keeps which ready-made set a sheet or plan came from, what of it is still ready-made, and who
 * confirmed it. Due lines tell whether their interval is ready-made.
 */
export class KeepStarterValues1796082000000 implements MigrationInterface {
  name = 'KeepStarterValues1796082000000';

  async up(run: QueryRunner): Promise<void> {
    for (const { table, kind } of TABLES) {
      await run.query(`alter table ${table}
        add column starter_set text,
        add column confirmed_at timestamptz,
        add column confirmed_by_kind text,
        add column confirmed_by text,
        add constraint ${table}_confirmed_ck check ((confirmed_at is null) = (confirmed_by is null))`);
      await this.record(run, table, kind, [...ALWAYS_LEFT_OUT, ...WHO]);
    }
    await run.query(`alter table spec_sheets add column starter_values text array not null default '{}'`);
    await run.query('alter table due_lines add column is_starter boolean not null default false');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table due_lines drop column is_starter');
    await run.query('alter table spec_sheets drop column starter_values');
    for (const { table, kind } of TABLES) {
      await run.query(`alter table ${table} drop constraint ${table}_confirmed_ck,
        drop column starter_set, drop column confirmed_at, drop column confirmed_by_kind, drop column confirmed_by`);
      await this.record(run, table, kind, ALWAYS_LEFT_OUT);
    }
  }

  private async record(run: QueryRunner, table: string, kind: string, leftOut: string[]): Promise<void> {
    await run.query(`drop trigger ${table}_recorded on ${table}`);
    await run.query(`create trigger ${table}_recorded after insert or update or delete on ${table}
      for each row execute function record_change('${kind}', '{${leftOut.join(',')}}', '{}')`);
  }
}
