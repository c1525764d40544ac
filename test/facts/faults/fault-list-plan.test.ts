import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { type Cost, costOf } from '../../support/plans.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const PAGE = 50;
const VEHICLES = 2000;
/** Each with an active row and one that says gone. */
const EPISODES = 5;
/** The fault lasts at one vehicle of so many. */
const ONE_IN = 20;

/**
 * A fleet whose vehicles each had the same code several times. It went away each time, but for one
 * vehicle in twenty, whose fault came last long before those of the others.
 */
async function fillFleet({ database: { admin } }: Service, fleetId: string): Promise<void> {
  await admin.query(
    `insert into vehicles (fleet_id, id, unit_number, duty, status)
     select $1, gen_random_uuid(), 'V-' || lpad(n::text, 6, '0'), 'normal', 'in-use' from generate_series(1, $2::int) n`,
    [fleetId, VEHICLES],
  );
  await admin.query(
    `insert into faults (fleet_id, id, vehicle_id, code, spn, fmi, is_active, reported_by, first_at, last_at, listed_as, gone_at)
     select $1, gen_random_uuid(), v.id, 'SPN ' || v.spn || ' FMI 1', v.spn, 1, k.is_active, 'source', k.at, k.at,
       case when k.is_active then case when k.lasts then 'active' else 'gone' end end,
       case when k.is_active and not k.lasts then k.at + interval '1 day' end
     from (select id, n, case when n % 10 = 0 then 111 else 5000 + n % 40 end as spn from (
       select id, row_number() over (order by unit_number) as n from vehicles where fleet_id = $1) w) v
     cross join generate_series(1, $2::int) e
     cross join lateral (values (true, 0), (false, 1)) as s(is_active, day)
     cross join lateral (
       select s.is_active, e = $2::int and v.n % $3::int = 0 as lasts,
         '2021-01-01T00:00:00Z'::timestamptz + (case when v.n % $3::int = 0 then 0 else 1000 end + e * 10 + s.day) * interval '1 day'
           + v.n * interval '1 second' as at) k
     where not (k.lasts and not s.is_active)`,
    [fleetId, EPISODES, ONE_IN],
  );
  await admin.query('vacuum analyze faults');
}

describe('the list of faults of a large fleet', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ isAlone: true });
    fleet = await service.newFleet();
    await fillFleet(service, fleet.fleetId);
  });
  afterAll(() => service.stop());

  async function costOfPage(query: string): Promise<{ body: any; costs: Cost[] }> {
    let heard: { text: string; values: unknown[] } | null = null;
    const listen = (text: string, values: readonly unknown[]): void => {
      if (text.includes('"faults" "f"')) heard = { text, values: [...values] };
    };
    statementListeners.add(listen);
    const { status, body } = await fleet.dashboard
      .get(`/v1/faults?limit=${PAGE}${query}`)
      .finally(() => statementListeners.delete(listen));
    expect([status, heard]).toEqual([200, expect.anything()]);
    const costs: Cost[] = [];
    for (const plan of ['force_custom_plan', 'force_generic_plan'] as const)
      costs.push(await costOf(service.database.admin, fleet.fleetId, heard!, plan));
    return { body, costs };
  }

  it.each([
    ['', /^faults_latest_ix$/],
    ['&state=active', /^faults_listed_ix$/],
    ['&state=gone', /^faults_(listed|latest)_ix$/],
    ['&code=SPN+111+FMI+1', /^faults_code_ix$/],
  ])('reads about as many rows as it shows: ?%s', async (query, index) => {
    for (const after of ['', 'next']) {
      const first = await costOfPage(query);
      const page = after === '' ? first : await costOfPage(`${query}&cursor=${first.body.next}`);
      expect(page.body.items).not.toEqual([]);
      for (const { seqScans, indexes, buffers, rowsRemoved } of page.costs) {
        expect([query, seqScans, indexes]).toEqual([query, [], [expect.stringMatching(index)]]);
        // A row lies anywhere in the table: a page for it, and some to come down the index.
        expect({ query, buffers, isFew: buffers <= PAGE + 20 }).toMatchObject({ isFew: true });
        expect({ query, rowsRemoved, isFew: rowsRemoved <= PAGE }).toMatchObject({ isFew: true });
      }
    }
  });

  it('shows the few that last, however many went away since', async () => {
    const { items } = (await fleet.dashboard.get('/v1/faults?state=active&limit=200')).body;
    expect(items).toHaveLength(VEHICLES / ONE_IN);
    for (const { state, firstSeenAt } of items)
      expect([state, firstSeenAt]).toEqual(['active', expect.stringMatching(/^2021-02-20/)]);
  });

  it("reads one vehicle's by its own index", async () => {
    const { rows } = await service.database.admin.query(
      'select id from vehicles where fleet_id = $1 limit 1',
      [fleet.fleetId],
    );
    for (const query of ['', '&state=active']) {
      const { costs } = await costOfPage(`&vehicleId=${rows[0].id}${query}`);
      for (const { seqScans, buffers } of costs) {
        expect(seqScans).toEqual([]);
        expect({ buffers, isFew: buffers <= 20 }).toMatchObject({ isFew: true });
      }
    }
  });
});
