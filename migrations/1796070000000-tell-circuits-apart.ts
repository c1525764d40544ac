import type { MigrationInterface, QueryRunner } from 'typeorm';

const NAMES = ['engine', 'charge-air', 'power-electronics', 'battery', 'cabin'];
const ONE_OF = NAMES.map((name) => `'${name}'`).join(', ');

/**
 * Tells the coolant circuits of a vehicle apart. What was recorded so far is about the first
 * circuit. The words that a sheet had for its circuit are kept as a note.
 */
export class TellCircuitsApart1796070000000 implements MigrationInterface {
  name = 'TellCircuitsApart1796070000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table spec_sheets rename column circuit to circuit_note');
    await run.query(
      `alter table spec_sheets add column circuit text not null default 'engine', add column other_circuits jsonb not null default '[]'`,
    );
    await run.query('alter table spec_sheets no force row level security');
    await run.query(`update spec_sheets set circuit = replace(lower(trim(circuit_note)), ' ', '-')
      where replace(lower(trim(circuit_note)), ' ', '-') in (${ONE_OF})`);
    await run.query('alter table spec_sheets force row level security');
    await run.query(
      `alter table spec_sheets add constraint spec_sheets_circuit_ck check (circuit in (${ONE_OF}))`,
    );
    await run.query('alter table due_lines add column circuit text, add column named_circuit text');
    await run.query('drop index due_lines_what_uq');
    await run.query(`create unique index due_lines_what_uq on due_lines (fleet_id, vehicle_id, component, action, item, origin, origin_key, circuit)
      nulls not distinct`);
    await run.query('alter table job_lines add column circuit text');
    await run.query('alter table readings add column circuit text');
  }

  /** Without their circuit, records of further circuits would count as the first's. */
  async down(run: QueryRunner): Promise<void> {
    for (const table of ['due_lines', 'job_lines', 'readings']) {
      await run.query(`alter table ${table} no force row level security`);
      await run.query(`do $$ begin
        if exists (select from ${table} where circuit is not null) then
          raise exception 'the records of further circuits in % cannot be kept without their circuit', '${table}';
        end if; end $$`);
      await run.query(`alter table ${table} force row level security`);
    }
    await run.query('alter table readings drop column circuit');
    await run.query('alter table job_lines drop column circuit');
    await run.query('drop index due_lines_what_uq');
    await run.query(`create unique index due_lines_what_uq on due_lines (fleet_id, vehicle_id, component, action, item, origin, origin_key)
      nulls not distinct`);
    await run.query('alter table due_lines drop column circuit, drop column named_circuit');
    await run.query('alter table spec_sheets drop column circuit, drop column other_circuits');
    await run.query('alter table spec_sheets rename column circuit_note to circuit');
  }
}
