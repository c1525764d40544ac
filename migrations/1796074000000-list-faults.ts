import type { MigrationInterface, QueryRunner } from 'typeorm';

/** SQL for a row that stands, of the same vehicle and code as another. */
const alike = (row: string, other: string): string =>
  `${row}.fleet_id = ${other}.fleet_id and ${row}.vehicle_id = ${other}.vehicle_id and ${row}.code = ${other}.code and ${row}.voided_at is null`;

/** SQL that is true for the first row of an episode `f`. */
const IS_HEAD = `f.is_active and f.voided_at is null and not exists (
  select from faults p where ${alike('p', 'f')} and p.is_active and (p.first_at, p.id) < (f.first_at, f.id)
    and (p.last_at >= f.first_at - interval '24 hours' or not exists (
      select from faults g where ${alike('g', 'f')} and not g.is_active and g.last_at > p.last_at and g.first_at < f.first_at)))`;

/**
 * Marks the rows that lists of faults show, and when each was read as gone, so that a list is one
 * scan of an index.
 */
export class ListFaults1796074000000 implements MigrationInterface {
  name = 'ListFaults1796074000000';

  async up(run: QueryRunner): Promise<void> {
    await run.query(`alter table faults add column listed_as text, add column gone_at timestamptz,
      add constraint faults_listed_as_ck check (listed_as in ('active', 'gone', 'voided')),
      add constraint faults_gone_ck check ((gone_at is not null) = coalesce(listed_as = 'gone', false))`);
    await run.query('alter table faults no force row level security');
    await run.query(`update faults set listed_as = 'voided' where is_active and voided_at is not null`);
    await run.query(`with heads as (
        select f.*, lead(f.first_at) over (partition by f.fleet_id, f.vehicle_id, f.code order by f.first_at, f.id) as next_at
        from faults f where ${IS_HEAD}),
      episodes as (
        select h.*, (select max(a.last_at) from faults a where ${alike('a', 'h')} and a.is_active
          and a.first_at >= h.first_at and (h.next_at is null or a.first_at < h.next_at)) as seen_until from heads h)
      update faults f set listed_as = case when g.at is null then 'active' else 'gone' end, gone_at = g.at
      from episodes e left join lateral (
        select case when g.first_at > e.seen_until then g.first_at else g.last_at end as at
        from faults g where ${alike('g', 'e')} and not g.is_active and g.last_at > e.seen_until
        order by g.first_at, g.id limit 1) g on true
      where f.fleet_id = e.fleet_id and f.id = e.id`);
    await run.query('alter table faults force row level security');
    await run.query('drop index faults_latest_ix');
    await run.query(
      `create index faults_latest_ix on faults (fleet_id, first_at, id) where listed_as <> 'voided'`,
    );
    await run.query(
      'create index faults_listed_ix on faults (fleet_id, listed_as, first_at, id) where listed_as is not null',
    );
    await run.query(
      `create index faults_code_ix on faults (fleet_id, code, first_at, id) where listed_as <> 'voided'`,
    );
    await run.query(
      'create index faults_of_vehicle_ix on faults (fleet_id, vehicle_id, first_at, id) where listed_as is not null',
    );
    await run.query(
      'create index faults_gone_ix on faults (fleet_id, vehicle_id, gone_at, id) where gone_at is not null',
    );
  }

  async down(run: QueryRunner): Promise<void> {
    for (const index of ['faults_listed_ix', 'faults_code_ix', 'faults_of_vehicle_ix', 'faults_gone_ix'])
      await run.query(`drop index ${index}`);
    await run.query('drop index faults_latest_ix');
    await run.query('alter table faults drop column gone_at, drop column listed_as');
    await run.query('create index faults_latest_ix on faults (fleet_id, first_at, id) where is_active');
  }
}
