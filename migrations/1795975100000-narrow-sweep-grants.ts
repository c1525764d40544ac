import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Of a reminder the sweep needs to know that it waits, since when, and until when; not what it
 * says.
 */
const OF_REMINDERS = 'fleet_id, id, status, digest_id, attempts, next_attempt_at, created_at';

/** Hold what makes a token or signs a webhook. The sweep reads neither table. */
const CLOSED = ['access_tokens', 'reminder_targets'];

/** The sweep looks across fleets, so it sees the columns that it reads and nothing else. */
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
