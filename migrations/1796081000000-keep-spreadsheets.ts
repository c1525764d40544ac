import type { MigrationInterface, QueryRunner } from 'typeorm';

const IN_SCOPE = `fleet_id = nullif(current_setting('app.fleet_id', true), '')::uuid`;
const ENTERED = `fleet_id = nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

const TABLES = ['spreadsheets', 'spreadsheet_pieces', 'spreadsheet_mappings'];

/** Creates the tables for spreadsheets that wait to be taken, and for how earlier ones were read. */
export class KeepSpreadsheets1796081000000 implements MigrationInterface {
  name = 'KeepSpreadsheets1796081000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`create table spreadsheets (
      fleet_id uuid not null,
      id uuid not null,
      file_name text,
      format text not null,
      encoding text,
      delimiter text,
      size_bytes integer not null,
      sha256 bytea not null,
      received_at timestamptz not null,
      kept_until timestamptz not null,
      sheets jsonb not null,
      unread jsonb not null,
      sheet text not null,
      choices jsonb not null,
      analysis jsonb not null,
      facts jsonb not null,
      mapping_from timestamptz,
      version integer not null default 1,
      taken_at timestamptz,
      import_id uuid,
      has_rows boolean not null default true,
      constraint spreadsheets_pk primary key (fleet_id, id),
      constraint spreadsheets_fleet_fk foreign key (fleet_id) references fleets (id),
      constraint spreadsheets_format_ck check (format in ('xlsx', 'csv'))
    )`);
    await run.query('create index spreadsheets_time_ix on spreadsheets (fleet_id, received_at, id)');
    await run.query('create index spreadsheets_kept_ix on spreadsheets (fleet_id, kept_until)');
    await run.query(`create table spreadsheet_pieces (
      fleet_id uuid not null,
      spreadsheet_id uuid not null,
      sheet integer not null,
      piece integer not null,
      rows bytea not null,
      constraint spreadsheet_pieces_pk primary key (fleet_id, spreadsheet_id, sheet, piece),
      constraint spreadsheet_pieces_spreadsheet_fk foreign key (fleet_id, spreadsheet_id)
        references spreadsheets (fleet_id, id) on delete cascade
    )`);
    await run.query(`create table spreadsheet_mappings (
      fleet_id uuid not null,
      shape bytea not null,
      kind text not null,
      choices jsonb not null,
      used_at timestamptz not null,
      constraint spreadsheet_mappings_pk primary key (fleet_id, shape, kind),
      constraint spreadsheet_mappings_fleet_fk foreign key (fleet_id) references fleets (id)
    )`);
    await run.query('create index spreadsheet_mappings_used_ix on spreadsheet_mappings (fleet_id, used_at)');
    for (const table of TABLES) await this.restrict(run, table);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const table of TABLES.toReversed()) await run.query(`drop table ${table}`);
  }

  /** Only managers see spreadsheets, and a manager is never bound to depots. */
  private async restrict(run: QueryRunner, table: string): Promise<void> {
    await run.query(`alter table ${table} enable row level security`);
    await run.query(`alter table ${table} force row level security`);
    await run.query(
      `create policy ${table}_in_fleet on ${table} to weephole_app using (${IN_SCOPE}) with check (${IN_SCOPE})`,
    );
    await run.query(
      `create policy ${table}_kept on ${table} to weephole_owner using (${ENTERED}) with check (${ENTERED})`,
    );
    await run.query(
      `create policy ${table}_in_depots on ${table} as restrictive to weephole_depots using (false) with check (false)`,
    );
    await run.query(`grant select, insert, update, delete on ${table} to weephole_app`);
  }
}
