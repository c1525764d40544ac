import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * The sweep needs to know that a reminder waits, since when and until when, but not what it says.
 */
const OF_REMINDERS = 'fleet_id, id, status, digest_id, attempts, next_attempt_at, created_at';

/** These tables hold token hashes and webhook secrets. The sweep reads neither. */
const CLOSED = ['access_tokens', 'reminder_targets'];

/** The sweep looks across fleets, so it may read only the columns that it needs. */
export class NarrowSweepGrants1795975100000 implements MigrationInterface {
  name = 'NarrowSweepGrants1795975100000';

  async up(run: QueryRunner): Promise<void> {
    for (const table of CLOSED) {
      await run.query(`drop policy ${table}_swept on ${table}`);
      await run.query(`revoke select on ${table} from weephole_sweep`);
    }
    await run.query('revoke select on reminders from weephole_sweep');
    await run.query(`grant select (${OF_REMINDERS}) on reminders to weephole_sweep`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`revoke select (${OF_REMINDERS}) on reminders from weephole_sweep`);
    await run.query('grant select on reminders to weephole_sweep');
    for (const table of CLOSED) {
      await run.query(`grant select on ${table} to weephole_sweep`);
      await run.query(`create policy ${table}_swept on ${table} for select to weephole_sweep using (true)`);
    }
  }
}
