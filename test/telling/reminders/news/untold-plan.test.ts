import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { untoldNews } from '../../../../src/telling/reminders/news/untold-news.queries.js';
import { untoldPairs } from '../../../../src/telling/reminders/news/untold-lines.queries.js';
import { cloneDatabase, type TestDatabase } from '../../../support/database.js';

interface PlanNode {
  'Node Type': string;
  'Relation Name'?: string;
  'Index Name'?: string;
  'Actual Rows': number;
  'Actual Loops': number;
  'Rows Removed by Filter'?: number;
  'Shared Hit Blocks': number;
  'Shared Read Blocks': number;
  Plans?: PlanNode[];
}

const nodesOf = (node: PlanNode): PlanNode[] => [node, ...(node.Plans ?? []).flatMap(nodesOf)];

describe('a sweep reads', () => {
  const TODAY = '2026-04-02';
  const LINES = 12_000;
  const STANDING = 40;
  const fleetId = uuidv7();
  let database: TestDatabase;
  let vehicleIds: string[];

  beforeAll(async () => {
    database = await cloneDatabase();
    const { admin } = database;
    await admin.query(
      `insert into fleets (id, name, time_zone, units, greatest_lead_days) values ($1, 'Big', 'UTC', 'si', 30)`,
      [fleetId],
    );
    const { rows } = await admin.query<{ id: string }>(
      `insert into vehicles (fleet_id, id, unit_number, duty, status)
       select $1, gen_random_uuid(), 'V-' || n, 'normal', 'in-use' from generate_series(1, 1000) n returning id`,
      [fleetId],
    );
    vehicleIds = rows.map(({ id }) => id);
    // A few lines stand in their window; the others are due in the months and years to come.
    await admin.query(
      `insert into due_lines (fleet_id, id, vehicle_id, unit_number, component, action, origin, origin_key, window_opens_on, due_on, late_on, cycle)
       select $1, gen_random_uuid(), ($3::uuid[])[1 + n % 1000], 'V', 'coolant', 'replace', 'interval', n::text, d - 20, d, d + 14, 'in-service'
       from generate_series(1, $2) n, lateral (select $4::date + case when n <= $5 then 10 else 40 + n % 1500 end as d) x`,
      [fleetId, LINES, vehicleIds, TODAY, STANDING],
    );
    await admin.query(
      `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest)
       values ($1, gen_random_uuid(), 'webhook', 'https://example.org', '{due-line}', '{window,due,late}', 'each')`,
      [fleetId],
    );
    await admin.query('analyze');
  });
  afterAll(() => database.drop());

  async function planOf(part: Parameters<typeof untoldPairs>[2]): Promise<PlanNode> {
    const values: unknown[] = [];
    const day = { today: TODAY, timeZone: 'UTC', greatestLeadDays: 30 };
    const text = untoldPairs(fleetId, day, { ...part, eachOnly: true }, 1000, values);
    const { rows } = await database.admin.query(`explain (analyze, buffers, format json) ${text}`, values);
    return rows[0]['QUERY PLAN'][0].Plan as PlanNode;
  }

  it.each([
    ['of a fleet, the lines near today', () => ({}), STANDING],
    ['of some vehicles, their lines near today', () => ({ vehicleIds: vehicleIds.slice(0, 10) }), 9],
  ])('%s', async (_what, part, found) => {
    const plan = await planOf(part());
    expect(plan['Actual Rows']).toBe(found);
    const nodes = nodesOf(plan);
    expect(
      nodes.filter((node) => node['Node Type'] === 'Seq Scan').map((node) => node['Relation Name']),
    ).not.toContain('due_lines');
    expect(nodes.map((node) => node['Index Name'])).toContainEqual(
      expect.stringMatching(/^due_lines_(due|vehicle)_ix$/),
    );
    const removed = nodes.reduce(
      (sum, node) => sum + (node['Rows Removed by Filter'] ?? 0) * node['Actual Loops'],
      0,
    );
    expect(removed).toBeLessThan(200);
    // Each line found costs a few blocks: its own, and one look for a reminder. The whole table has
    // several hundred.
    expect(plan['Shared Hit Blocks'] + plan['Shared Read Blocks']).toBeLessThan(8 * STANDING);
  });

  it('only failed readings that arrived since, by an index of failed ones', async () => {
    const { admin } = database;
    await admin.query(
      `insert into readings (fleet_id, id, vehicle_id, kind, taken_at, received_at, typed, canonical, evaluation, limits)
       select $1, gen_random_uuid(), ($2::uuid[])[1 + n % 1000], 'hold-test', at, at, '{}', '{}',
         jsonb_build_object('verdict', case when n % 50 = 0 then 'fail' else 'pass' end), '{}'
       from generate_series(1, 20000) n, lateral (select timestamptz '2026-04-02T00:00:00Z' - n * interval '1 hour' as at) x`,
      [fleetId, vehicleIds],
    );
    await admin.query(`update reminder_targets set hears = '{failed-reading}', created_at = '2020-01-01'`);
    await admin.query('analyze');
    let sent: { text: string; values: unknown[] } | undefined;
    const listening = {
      query: (text: string, values: unknown[]) => ((sent = { text, values }), Promise.resolve([])),
    };
    await untoldNews(
      listening as unknown as EntityManager,
      fleetId,
      new Date('2026-04-02T00:00:00Z'),
      'failed-reading',
      { since: new Date('2026-03-03T00:00:00Z') },
      1000,
    );
    const { rows } = await admin.query(`explain (analyze, buffers, format json) ${sent?.text}`, sent?.values);
    const plan = rows[0]['QUERY PLAN'][0].Plan as PlanNode;
    // One in fifty failed, one an hour: 14 in 30 days.
    expect(plan['Actual Rows']).toBe(14);
    const nodes = nodesOf(plan);
    expect(nodes.map((node) => node['Index Name'])).toContain('readings_failed_ix');
    expect(
      nodes.filter((node) => node['Node Type'] === 'Seq Scan').map((node) => node['Relation Name']),
    ).not.toContain('readings');
    expect(plan['Shared Hit Blocks'] + plan['Shared Read Blocks']).toBeLessThan(300);
  });
});
