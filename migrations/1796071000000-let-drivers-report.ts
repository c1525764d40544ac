import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Adds the role of a driver, who reports defects and sees what became of them. */
export class LetDriversReport1796071000000 implements MigrationInterface {
  name = 'LetDriversReport1796071000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table access_tokens drop constraint access_tokens_role_ck,
      add constraint access_tokens_role_ck check (role in ('manager', 'mechanic', 'driver', 'dashboard', 'calendar'))`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table access_tokens no force row level security');
    await run.query(`delete from access_tokens where role = 'driver'`);
    await run.query('alter table access_tokens force row level security');
    await run.query(`alter table access_tokens drop constraint access_tokens_role_ck,
      add constraint access_tokens_role_ck check (role in ('manager', 'mechanic', 'dashboard', 'calendar'))`);
  }
}
