import type { MigrationInterface, QueryRunner } from 'typeorm';

/** The same condition as that of `due_lines_visit_ix`. */
const VISIT_STANDS = `visit_id is not null and is_open and depot_id is not distinct from visit_depot_id
  and (last_done_report_id is null or (visit_counts_from is not null and last_done_on <= visit_counts_from))`;

/**
 * Assigns visits to people. A line keeps the assignee of its visit, so a person's lines are read
 * from an index of their own, and reminder targets can be one person's.
 */
export class AssignVisits1796090300000 implements MigrationInterface {
  name = 'AssignVisits1796090300000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table visits add column assigned_to uuid,
      add constraint visits_assignee_fk foreign key (fleet_id, assigned_to) references people (fleet_id, id)`);
    await run.query(
      'create index visits_assignee_ix on visits (fleet_id, assigned_to, day, id) where assigned_to is not null',
    );
    await run.query('alter table due_lines add column visit_assignee uuid');
    await run.query(
      `create index due_lines_assignee_ix on due_lines (fleet_id, visit_assignee, due_on, id) where visit_assignee is not null and ${VISIT_STANDS}`,
    );
    await run.query(`create trigger visits_assigned after update of assigned_to on visits
      for each row when (old.assigned_to is distinct from new.assigned_to)
      execute function record_event('visit', 'id', 'assigned', '{assigned_to}')`);
    await run.query(`alter table reminder_targets add column person_id uuid,
      add constraint reminder_targets_person_fk foreign key (fleet_id, person_id) references people (fleet_id, id)`);
    await run.query(
      'create index reminder_targets_person_ix on reminder_targets (fleet_id, person_id) where person_id is not null',
    );
    // Whether anybody hears of a fleet's due lines is counted across fleets.
    await run.query('grant select (person_id) on reminder_targets to weephole_sweep');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table reminder_targets drop column person_id');
    await run.query('drop trigger visits_assigned on visits');
    await run.query('drop index due_lines_assignee_ix');
    await run.query('alter table due_lines drop column visit_assignee');
    await run.query('alter table visits drop column assigned_to');
  }
}
