import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Tables that an import fills. Their statistics are renewed during the import; otherwise each row
 * would be looked up by scanning all rows before it.
 */
const TABLES =
  'vehicles, vehicle_assignments, due_lines, usage_readings, usage_summaries, job_reports, job_lines';

export class LetAppCountRows1795750000000 implements MigrationInterface {
  name = 'LetAppCountRows1795750000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`grant maintain on ${TABLES} to weephole_app`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`revoke maintain on ${TABLES} from weephole_app`);
  }
}
