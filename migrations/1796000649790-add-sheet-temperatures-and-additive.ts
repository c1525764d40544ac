import type { MigrationInterface, QueryRunner } from 'typeorm';

/** Adds limits for road tests, for levels read off the marks, and for doses of additive. */
export class AddSheetTemperaturesAndAdditive1796000649790 implements MigrationInterface {
  name = 'AddSheetTemperaturesAndAdditive1796000649790';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table spec_sheets
      add column thermostat_opens_c double precision,
      add column high_temperature_alarm_c double precision,
      add column min_to_max_l double precision,
      add column additive jsonb`);
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(`alter table spec_sheets
      drop column thermostat_opens_c,
      drop column high_temperature_alarm_c,
      drop column min_to_max_l,
      drop column additive`);
  }
}
