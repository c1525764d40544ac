import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Lets a manager withdraw a postponement. The line can then be postponed again. */
export class WithdrawPostponements1796083000000 implements MigrationInterface {
  name = 'WithdrawPostponements1796083000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table postponements add column withdrawn_at timestamptz, add column withdrawn_by uuid, add column withdrawn_reason text,
      add constraint postponements_withdrawn_ck check ((withdrawn_at is null) = (withdrawn_reason is null))`);
    await run.query('alter table postponements drop constraint postponements_once_uq');
    await run.query(`create unique index postponements_once_uq on postponements (fleet_id, due_line_id, cycle)
      where withdrawn_at is null`);
    await run.query(`create trigger postponements_withdrawn after update of withdrawn_at on postponements
      for each row when (old.withdrawn_at is distinct from new.withdrawn_at)
      execute function record_event('due-line', 'due_line_id', 'postponement-withdrawn', '{withdrawn_reason}')`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('drop trigger postponements_withdrawn on postponements');
    await run.query('alter table postponements no force row level security');
    await run.query('delete from postponements where withdrawn_at is not null');
    await run.query('alter table postponements force row level security');
    await run.query('drop index postponements_once_uq');
    await run.query(
      `alter table postponements add constraint postponements_once_uq unique (fleet_id, due_line_id, cycle)`,
    );
    await run.query(
      `alter table postponements drop column withdrawn_at, drop column withdrawn_by, drop column withdrawn_reason`,
    );
  }
}
