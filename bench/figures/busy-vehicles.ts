import { type BenchFleet } from '../build-fleets.js';
import { startChild } from '../child.js';
import { atMost, type Figure, median, ms, perSecond, quantile } from '../figure.js';
import { call } from '../post.js';
import type { Stage } from '../stage.js';

const BUSY_VEHICLES = 5;
const WRITERS = 50;
const ROUNDS = 5;
const SECONDS = 2;
const WARM_UP = 300;

/**
 * How long another fleet's readers wait: with nobody posting, and while one fleet's writers crowd a
 * few vehicles.
 */
interface Waits {
  idle: number[];
  busy: number[];
}

/**
 * Sends one request after the other until the time is up. Returns the milliseconds that each took.
 */
async function reading(ask: () => Promise<unknown>, seconds: number): Promise<number[]> {
  const took: number[] = [];
  const until = performance.now() + 1000 * seconds;
  for (let began = performance.now(); began < until; began = performance.now()) {
    await ask();
    took.push(performance.now() - began);
  }
  return took;
}

/**
 * Measures reads of one fleet while 50 clients of another post usage readings for the same five
 * vehicles, alternating with rounds in which nobody posts.
 */
export async function busyVehicleFigures({ main: { admin, fleets, service } }: Stage): Promise<Figure[]> {
  const [busyFleet, fleet] = fleets as [BenchFleet, BenchFleet | undefined];
  if (fleet === undefined) throw new Error('busy-vehicles needs two fleets: --fleets 2');
  const vehicles = async (fleetId: string, count: number): Promise<string[]> => {
    const { rows } = await admin.query<{ id: string }>(
      'select id from vehicles where fleet_id = $1 order by id limit $2',
      [fleetId, count],
    );
    return rows.map(({ id }) => id);
  };
  const [vehicleId] = await vehicles(fleet.id, 1);
  const reads: Record<string, () => Promise<unknown>> = {
    'due-list': () => call(service.url, fleet.tokens.dashboard, '/v1/due-list'),
    vehicle: () => call(service.url, fleet.tokens.dashboard, `/v1/vehicles/${vehicleId}`),
  };
  const posters = startChild('posters', {
    BENCH_URL: service.url,
    BENCH_TOKEN: busyFleet.tokens.mechanic,
    BENCH_VEHICLES: (await vehicles(busyFleet.id, BUSY_VEHICLES)).join(),
  });
  try {
    const post = (seconds: number): Promise<number> =>
      posters.ask<number>('post', { connections: WRITERS, seconds });
    await post(1);
    for (let n = 0; n < WARM_UP; n++) for (const ask of Object.values(reads)) await ask();
    const waits = new Map<string, Waits>();
    const rates: number[] = [];
    for (let round = 0; round < ROUNDS; round++) {
      for (const [name, ask] of Object.entries(reads)) {
        const { idle, busy } = waits.get(name) ?? { idle: [], busy: [] };
        waits.set(name, { idle, busy });
        idle.push(...(await reading(ask, SECONDS)));
        const posting = post(SECONDS + 1);
        busy.push(...(await reading(ask, SECONDS)));
        rates.push(await posting);
      }
    }
    return [...waits].map(([name, { idle, busy }]) => {
      const detail = `p99 ${ms(quantile(busy, 0.99))} beside ${ms(quantile(idle, 0.99))} idle, p50 ${ms(median(busy))} beside ${ms(median(idle))}; ${WRITERS} clients made ${perSecond(median(rates))} posts`;
      return atMost(`busy-vehicles-${name}-p99`, quantile(busy, 0.99) / quantile(idle, 0.99), 3, detail);
    });
  } finally {
    await posters.stop();
  }
}
