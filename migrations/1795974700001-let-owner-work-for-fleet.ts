import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * The fleet that the owner works for. This setting is not the service's, so that the owner reaches
 * no records by mistake, not even in a function that the service calls.
 */
const ENTERED = `nullif(current_setting('app.entered_fleet_id', true), '')::uuid`;

/** Deleting a fleet looks for references to each of its rows, so it needs these indexes. */
const INDEXES = [
  'create index job_reports_supersedes_ix on job_reports (fleet_id, supersedes_id) where supersedes_id is not null',
  'create index job_reports_superseded_by_ix on job_reports (fleet_id, superseded_by_id) where superseded_by_id is not null',
  'create index job_reports_duplicate_of_ix on job_reports (fleet_id, possible_duplicate_of_id) where possible_duplicate_of_id is not null',
  'create index reminders_vehicle_ix on reminders (fleet_id, vehicle_id) where vehicle_id is not null',
];

/**
 * Lets the owner of the tables work for one fleet. Row-level security applies to the owner too:
 * commands that export, delete or change a fleet's records enter the fleet first, and then see only
 * its rows.
 */
export class LetOwnerWorkForFleet1795974700001 implements MigrationInterface {
  name = 'LetOwnerWorkForFleet1795974700001';

  async up(run: QueryRunner): Promise<void> {
    for (const table of await fleetTables(run))
      await run.query(
        `create policy ${table}_kept on ${table} to weephole_owner using (fleet_id = ${ENTERED}) with check (fleet_id = ${ENTERED})`,
      );
    for (const index of INDEXES) await run.query(index);
  }

  async down(run: QueryRunner): Promise<void> {
    for (const index of [
      'job_reports_supersedes_ix',
      'job_reports_superseded_by_ix',
      'job_reports_duplicate_of_ix',
      'reminders_vehicle_ix',
    ])
      await run.query(`drop index ${index}`);
    for (const table of await fleetTables(run))
      await run.query(`drop policy if exists ${table}_kept on ${table}`);
  }
}

/** Tables of fleets' rows that the owner cannot see in full yet. */
async function fleetTables(run: QueryRunner): Promise<string[]> {
  const rows = (await run.query(
    `select c.relname as name from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = 'fleet_id' and not a.attisdropped
     where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and c.relname <> 'access_tokens' order by 1`,
  )) as { name: string }[];
  return rows.map(({ name }) => name);
}
