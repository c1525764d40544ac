import type { INestApplicationContext } from '@nestjs/common';
import { buildWorker } from '../../../src/bootstrap.worker.js';
import { until } from '../../support/receiver.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const QUESTION = {
  ...{ from: '2026-04-06', to: '2026-05-01' },
  ...{ labourRate: 80, downtimeCostPerDay: 200, latenessCostPerDay: 50 },
};
const MOST_WAITING = 8;

describe('visit plans of several fleets', () => {
  let service: Service;
  let greedy: FleetHandle;
  let modest: FleetHandle;
  const workers: INestApplicationContext[] = [];

  beforeEach(async () => {
    // The API alone: what is asked for waits until a test starts workers.
    service = await startService({
      at: '2026-04-02T15:00:00Z',
      env: {
        ...{ FLEET_WAITING_PLANS: String(MOST_WAITING), VISIT_PLAN_SECONDS: '5' },
        ...{ QUEUE_CHECK_SECONDS: '300', QUEUE_LOCK_SECONDS: '60' },
      },
    });
    // In which order plans are solved: noted by the database, whoever solves them.
    await service.database.admin.query(`
      create table solved (n serial, fleet_id uuid);
      create function note_solved() returns trigger language plpgsql security definer set search_path = public
        as $$ begin insert into solved (fleet_id) values (new.fleet_id); return null; end $$;
      create trigger note_solved after update of state on visit_plans
        for each row when (old.state <> 'solved' and new.state = 'solved') execute function note_solved()`);
    [greedy, modest] = [await newFleet(), await newFleet()];
  });
  afterEach(async () => {
    await Promise.all(workers.splice(0).map((worker) => worker.close()));
    await service.stop();
  });

  async function newFleet(): Promise<FleetHandle> {
    const fleet = await service.newFleet();
    await postScenario(fleet);
    return fleet;
  }
  async function startWorker(more: object = {}): Promise<void> {
    const config = Object.assign(Object.create(service.config), more);
    const worker = await buildWorker(config, { clock: service.clock });
    await worker.init();
    workers.push(worker);
  }
  const ask = ({ manager }: FleetHandle) => manager.post('/v1/visit-plans', QUESTION);
  async function askFor(fleet: FleetHandle, count: number): Promise<string[]> {
    const ids: string[] = [];
    for (let asked = 0; asked < count; asked++) {
      const { status, body } = await ask(fleet);
      expect([status, body.detail]).toEqual([201, undefined]);
      ids.push(body.id);
    }
    return ids;
  }
  /** The fleets of plans in the order in which they were solved, once so many are. */
  async function solvedOrder(count: number): Promise<string[]> {
    let order: string[] = [];
    await until(async () => {
      const { rows } = await service.database.admin.query('select fleet_id from solved order by n');
      order = rows.map((row) => row.fleet_id);
      return order.length >= count;
    }, 240_000);
    return order;
  }

  it('are solved one for each fleet in turn, and none is left out', async () => {
    const third = await newFleet();
    await askFor(greedy, MOST_WAITING);
    await askFor(modest, 2);
    await askFor(third, 1);
    await startWorker();
    const names = new Map([
      [greedy.fleetId, 'A'],
      [modest.fleetId, 'B'],
      [third.fleetId, 'C'],
    ]);
    const order = await solvedOrder(MOST_WAITING + 3);
    expect(order.map((fleetId) => names.get(fleetId)).join('')).toBe('ABCABAAAAAA');
  }, 240_000);

  it('do not wait behind those of another fleet, with several workers either', async () => {
    await askFor(greedy, MOST_WAITING);
    await askFor(modest, 1);
    await Promise.all([startWorker(), startWorker()]);
    const order = await solvedOrder(MOST_WAITING + 1);
    // First in, first out would put it last or next to last.
    expect(order.indexOf(modest.fleetId)).toBeLessThan(MOST_WAITING / 2);
    expect(order).toHaveLength(MOST_WAITING + 1);
  }, 240_000);

  it('are limited in number for a fleet; the next is refused with when to come back', async () => {
    const [first] = await askFor(greedy, MOST_WAITING);
    const refused = await ask(greedy);
    expect([refused.status, refused.headers.get('retry-after'), refused.body]).toEqual([
      429,
      '5',
      expect.objectContaining({
        ...{ type: '/problems/too-many-plans-waiting', limit: 8, present: 8 },
        detail: expect.stringContaining(
          'This fleet has 8 visit plans that wait to be solved, and may have 8.',
        ),
      }),
    ]);
    await askFor(modest, 1);
    expect((await greedy.manager.delete(`/v1/visit-plans/${first}`)).status).toBe(204);
    const atOnce = await Promise.all(Array.from({ length: 3 }, () => ask(greedy)));
    expect(atOnce.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([201, 429, 429]);
    await startWorker();
    await solvedOrder(MOST_WAITING + 1);
    const [solved] = (await greedy.manager.get('/v1/visit-plans')).body.items;
    // Asking anew for one that is solved takes the same room.
    await Promise.all(workers.splice(0).map((worker) => worker.close()));
    await askFor(greedy, MOST_WAITING);
    const again = await greedy.manager.post(`/v1/visit-plans/${solved.id}/solve`);
    expect([again.status, again.body.type]).toEqual([429, '/problems/too-many-plans-waiting']);
  }, 240_000);

  it('are all solved even if their jobs were lost, and one was left behind by a dead worker', async () => {
    const ids = await askFor(greedy, 3);
    const { admin } = service.database;
    await admin.query(`update visit_plans set state = 'solving', attempts = 1 where id = $1`, [ids[1]]);
    await startWorker({ queueCheckMs: 500 });
    await solvedOrder(3);
    // As if each job had been lost on its way to the queue.
    await admin.query(
      `update visit_plans set state = 'waiting', round = round + 1, attempts = 0 where fleet_id = $1`,
      [greedy.fleetId],
    );
    expect(await solvedOrder(6)).toHaveLength(6);
    const { rows } = await admin.query('select state, round from visit_plans order by id');
    expect(rows).toEqual(Array.from({ length: 3 }, () => ({ state: 'solved', round: 2 })));
  }, 240_000);
});
