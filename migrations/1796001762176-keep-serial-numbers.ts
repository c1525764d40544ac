import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Adds serial numbers, which machines have instead of a VIN. */
export class KeepSerialNumbers1796001762176 implements MigrationInterface {
  name = 'KeepSerialNumbers1796001762176';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table vehicles add column serial_number text');
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query('alter table vehicles drop column serial_number');
  }
}
