import { getDataSourceToken } from '@nestjs/typeorm';
import type { DataSource } from 'typeorm';
import { countStatement } from '../../../src/conclusions/due-list/due-line-counts.queries.js';
import {
  type DueListRequest,
  dueListStatement,
  STANDING,
} from '../../../src/conclusions/due-list/due-list.queries.js';
import type { DueState } from '../../../src/domain/intervals/types.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { costOf } from '../../support/plans.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const TODAY = '2026-04-02';
const PAGE = 50;
/**
 * Pages of 8 kB that a page of the list may look at: for each row shown its table's, its index's
 * and three for its vehicle's usage; and some to find where each stretch of the list begins.
 * Reading the fleet would take some five hundred.
 */
const mostBuffers = (rows: number): number => 5 * rows + 40;
/** Rows looked at in vain; reading the whole fleet would take fifteen thousand. */
const MOST_REMOVED = PAGE;

const DEPOT = 'd0000000-0000-4000-8000-000000000003';

/**
 * A fleet of 1,000 vehicles with 15 lines each. A neglected one: about 2,300 lines are past due,
 * most of them late. Twelve lines come due each day, windows open 30 days ahead (7 for some, 200
 * for a few), and grace is 14 days. Some lines have no baseline, some no date, some are closed,
 * and some are late by an estimate that has lapsed.
 */
async function fillFleet({ database }: Service, fleetId: string, vehicles: number): Promise<void> {
  const { admin } = database;
  await admin.query(
    `insert into depots (fleet_id, id, name)
     select $1, ('d0000000-0000-4000-8000-' || lpad(n::text, 12, '0'))::uuid, 'Depot ' || n from generate_series(0, 9) n`,
    [fleetId],
  );
  await admin.query(
    `insert into vehicles (fleet_id, id, unit_number, depot_id, duty, status)
     select $1, gen_random_uuid(), 'V-' || lpad(n::text, 5, '0'), ('d0000000-0000-4000-8000-' || lpad((n % 10)::text, 12, '0'))::uuid,
       'normal', 'in-use' from generate_series(1, $2::int) n`,
    [fleetId, vehicles],
  );
  await admin.query(
    `insert into due_lines (fleet_id, id, vehicle_id, unit_number, depot_id, component, action, origin, is_open, no_baseline,
       window_opens_on, due_on, late_on, late_lapses_on, cycle)
     select v.fleet_id, gen_random_uuid(), v.id, v.unit_number, v.depot_id,
       (array['coolant','water-pump','drive-belt','tensioner','idler','thermostat','radiator','radiator-cap','upper-hose','lower-hose',
         'heater-hose','bypass-hose','hose-clamp','fan-drive','reservoir'])[n], 'replace', 'interval', r.kind not between 0.96 and 1, r.kind < 0.03,
       case when r.kind < 0.06 then 'infinity' else d.due_on - d.lead end,
       case when r.kind < 0.06 then 'infinity' else d.due_on end,
       case when r.kind < 0.06 or r.kind between 0.94 and 0.95 then 'infinity' else d.due_on + 14 end,
       case when r.kind between 0.93 and 0.94 then d.due_on + 40 end, 'in-service'
     from vehicles v cross join generate_series(1, 15) n
     cross join lateral (select random() as kind, random() as day, random() as lead where v.id is not null and n > 0) r
     cross join lateral (select $2::date - 300 + floor(r.day * 1500)::int as due_on,
       case when r.lead < 0.15 then 7 when r.lead < 0.16 then 200 else 30 end as lead) d
     where v.fleet_id = $1`,
    [fleetId, TODAY],
  );
  await admin.query('update fleets set greatest_lead_days = 200, greatest_grace_days = 14 where id = $1', [
    fleetId,
  ]);
  await admin.query(
    `insert into usage_summaries (fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km)
     select fleet_id, id, '2026-04-01T12:00:00Z', 100000, 0 from vehicles where fleet_id = $1`,
    [fleetId],
  );
}

/** Begins at the last page, which is not full; null where the first is all there is. */
async function lastPageOf(
  { database }: Service,
  fleetId: string,
  request: DueListRequest,
): Promise<DueListRequest | null> {
  const { text, values } = dueListStatement(fleetId, { ...request, limit: 100_000 });
  const { rows } = await database.admin.query<{ dueOn: Date | number; id: string; isAtOnce: boolean }>(
    text,
    values,
  );
  if (rows.length <= PAGE) return null;
  const before = rows.at(-Math.min(rows.length, PAGE - 10));
  if (!before) throw new Error('the list is empty');
  const { rows: dates } = await database.admin.query<{ on: string }>(
    'select due_on::text as on from due_lines where fleet_id = $1 and id = $2',
    [fleetId, before.id],
  );
  return { ...request, after: { isAtOnce: before.isAtOnce, dueOn: dates[0]?.on ?? '', id: before.id } };
}

describe('reading the due list of a large fleet', () => {
  let service: Service;
  let fleet: FleetHandle;
  let smallFleet: FleetHandle;

  beforeAll(async () => {
    // What PostgreSQL plans depends on what its tables held before.
    service = await startService({ at: `${TODAY}T15:00:00Z`, isAlone: true });
    fleet = await service.newFleet();
    await service.database.admin.query('select setseed(0.42)');
    await fillFleet(service, fleet.fleetId, 1000);
    for (let other = 0; other < 3; other++) {
      smallFleet = await service.newFleet();
      await fillFleet(service, smallFleet.fleetId, 100);
    }
    await service.database.admin.query('vacuum analyze');
  }, 240_000);
  afterAll(() => service.stop());

  const request = (states: readonly DueState[], filters: DueListRequest['filters'] = {}): DueListRequest => ({
    asOf: TODAY,
    states: new Set(states),
    filters,
    after: null,
    limit: PAGE + 1,
  });

  const cases: [string, DueListRequest][] = [
    ['the default list', request(STANDING)],
    ...(['late', 'due', 'window', 'not-due', 'no-baseline'] as const).map(
      (state): [string, DueListRequest] => [`state ${state}`, request([state])],
    ),
    ['states due and no-baseline', request(['due', 'no-baseline'])],
    ['a depot', request(STANDING, { depotId: DEPOT })],
    ['a component', request(STANDING, { component: 'water-pump' })],
    ['a depot and a component', request(STANDING, { depotId: DEPOT, component: 'water-pump' })],
    [
      'a component at a depot in its window',
      request(['window'], { depotId: DEPOT, component: 'water-pump' }),
    ],
    ['a component at a depot that is due', request(['due'], { depotId: DEPOT, component: 'water-pump' })],
    ['a depot not due', request(['not-due'], { depotId: DEPOT })],
    ['a depot without a baseline', request(['no-baseline'], { depotId: DEPOT })],
    ['an action', request(STANDING, { action: 'replace' })],
    ['states late and window', request(['late', 'window'])],
    ['every state', request(['late', 'due', 'window', 'not-due', 'no-baseline'])],
    ['lines due before a day', request(STANDING, { dueBefore: '2026-04-20' })],
  ];

  async function expectFrugal(
    first: DueListRequest,
    plan: 'force_custom_plan' | 'force_generic_plan',
  ): Promise<void> {
    for (const page of [first, await lastPageOf(service, fleet.fleetId, first)]) {
      if (page === null) continue;
      const statement = dueListStatement(fleet.fleetId, page);
      const cost = await costOf(service.database.admin, fleet.fleetId, statement, plan);
      expect(cost.rows).toBeGreaterThan(0);
      expect(cost.seqScans.filter((table) => table !== 'fleets')).toEqual([]);
      expect(cost.rowsRemoved).toBeLessThanOrEqual(MOST_REMOVED);
      expect(cost.buffers).toBeLessThanOrEqual(mostBuffers(cost.rows));
    }
  }

  it.each(cases)('reads about as many rows as it shows: %s', (_name, first) =>
    expectFrugal(first, 'force_custom_plan'),
  );

  const kept = cases.filter(([, first]) => dueListStatement('', first).name !== undefined);

  it.each(kept)('does so with the plan that is cached for any fleet and day: %s', (_name, first) =>
    expectFrugal(first, 'force_generic_plan'),
  );

  it('keeps the plans of the lists that pages request', () => {
    expect(kept.map(([name]) => name)).toEqual([
      'the default list',
      'a depot',
      'a component',
      'a depot and a component',
    ]);
  });

  it("counts a fleet's lines without reading another fleet's", async () => {
    const counted = await costOf(
      service.database.admin,
      smallFleet.fleetId,
      countStatement(smallFleet.fleetId, TODAY, {}),
      'force_custom_plan',
    );
    expect(counted.seqScans.filter((table) => table === 'due_lines')).toEqual([]);
    // Lines that are closed, and depots of other fleets.
    expect(counted.rowsRemoved).toBeLessThan(150);
  });

  it('runs the statement that was measured', async () => {
    const heard: string[] = [];
    const listen = (text: string): void => void heard.push(text);
    statementListeners.add(listen);
    try {
      const answer = await fleet.dashboard.get('/v1/due-list');
      expect(answer.status).toBe(200);
      expect(answer.body.items).toHaveLength(PAGE);
    } finally {
      statementListeners.delete(listen);
    }
    expect(heard).toContain(dueListStatement(fleet.fleetId, request(STANDING)).text);
  });

  it('keeps the usual list prepared, and answers the same from a generic plan', async () => {
    const answers = new Set<string>();
    // PostgreSQL considers a generic plan from the sixth time on.
    for (let times = 0; times < 8; times++)
      answers.add(JSON.stringify((await fleet.dashboard.get('/v1/due-list')).body));
    expect(answers.size).toBe(1);
    const dataSource = service.app.get<DataSource>(getDataSourceToken());
    const prepared = await dataSource.query<{ name: string }[]>('select name from pg_prepared_statements');
    expect(prepared.map(({ name }) => name)).toContain('due-list');
  });
});
