import {
  addFleets,
  addLines,
  addVehicles,
  type BenchFleet,
  copyPlanAndSheet,
} from '../../bench/build-fleets.js';
import { assertSameAnswers } from '../../bench/figures/due-list.js';
import { type Peer, servePeer } from '../../bench/peer/peer.js';
import { buildPeer } from '../../bench/peer/schema.js';
import { call } from '../../bench/post.js';
import { INTERVAL_PLAN, SPEC_SHEET } from '../../bench/scenario.js';
import { type Service, startService } from '../support/service.js';

/** The bench measures nothing where the two differ, and is not run with the tests. */
describe('the list that the bench compares with the service', () => {
  let service: Service;
  let peer: Peer;
  let fleets: BenchFleet[];

  beforeAll(async () => {
    service = await startService({ at: new Date().toISOString(), isAlone: true });
    const { admin } = service.database;
    fleets = await addFleets(admin, 2);
    const [first, ...others] = fleets as [BenchFleet, ...BenchFleet[]];
    await call(service.url, first.tokens.manager, '/v1/spec-sheets', SPEC_SHEET);
    await call(service.url, first.tokens.manager, '/v1/interval-plans', INTERVAL_PLAN);
    await copyPlanAndSheet(admin, first, others);
    await addVehicles(admin, fleets, 2000);
    await addLines(admin, fleets);
    await planVisits();
    await buildPeer(admin);
    peer = await servePeer(service.database.url);
  });
  afterAll(async () => {
    await peer.close();
    await service.stop();
  });

  /**
   * Every third line is to be done at a visit; half of the vehicles have gone to another depot
   * since.
   */
  async function planVisits(): Promise<void> {
    const { admin } = service.database;
    await admin.query(
      `insert into visit_plans (fleet_id, id, from_on, to_on, labour_rate, downtime_cost_per_day, lateness_cost_per_day, state, requested_at)
       select id, gen_random_uuid(), current_date, current_date + 7, 1, 1, 1, 'confirmed', now() from fleets`,
    );
    await admin.query(
      `with made as (
         insert into visits (fleet_id, id, visit_plan_id, vehicle_id, depot_id, day, hours, confirmed_at)
         select v.fleet_id, gen_random_uuid(), p.id, v.id, d.id, current_date + 3, 1, now()
         from vehicles v join visit_plans p on p.fleet_id = v.fleet_id
         cross join lateral (
           select d.id from depots d where d.fleet_id = v.fleet_id and (d.id = v.depot_id) = (hashtext(v.id::text) % 2 = 0) limit 1) d
         returning fleet_id, id, vehicle_id, depot_id, day)
       update due_lines l set visit_id = m.id, visit_on = m.day, visit_depot_id = m.depot_id
       from made m
       where m.fleet_id = l.fleet_id and m.vehicle_id = l.vehicle_id and hashtext(l.id::text) % 3 = 0`,
    );
  }

  it('gives the same answers as the service', async () => {
    await assertSameAnswers({ main: { fleets, service }, peer });
    const { items } = await call<{ items: { visit: object | null }[] }>(
      service.url,
      (fleets[0] as BenchFleet).tokens.dashboard,
      '/v1/due-list',
    );
    expect(new Set(items.map(({ visit }) => visit === null)).size).toBe(2);
  });
});
