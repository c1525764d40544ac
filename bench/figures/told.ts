import { setTimeout as delay } from 'node:timers/promises';
import { atLeast, atMost, type Figure, ms, quantile } from '../figure.js';
import { type Listener, startListener } from '../listener.js';
import { call } from '../post.js';
import { startRedis } from '../redis.js';
import { INTERVAL_PLAN } from '../scenario.js';
import type { Stage } from '../stage.js';
import { type WholeService, wholeService } from '../whole-service.js';

const LINES = INTERVAL_PLAN.intervals.length;
const AT_ONCE = 4;
/**
 * Short waits between attempts, as a deployment may set them, so rejected messages soon come again.
 */
const SOON = { SEND_RETRY_SECONDS: Array(30).fill('2').join() };

const ROUNDS = 20;
const VEHICLES_A_ROUND = 60;
const KILLS = 6;
const VEHICLES_AMONG_KILLS = 200;
const CRASHES = 4;
/** An accepted message is recorded well within this time, even on a busy machine. */
const WRITTEN_DOWN_WITHIN_MS = 2_000;

/** A fleet and the receiver of its messages. */
interface Bed {
  service: WholeService;
  listener: Listener;
  token: string;
  planId: string;
  close(): Promise<void>;
}

/**
 * How soon the receiver hears about posted vehicles, and whether it hears about all of them:
 * undisturbed, and with the whole service killed again and again.
 */
export async function toldFigures({ say }: Stage): Promise<Figure[]> {
  const redis = await startRedis();
  if (redis === null)
    say('there is no redis-server on the PATH: what is told is measured with the queue in PostgreSQL alone');
  const queues: [string, Record<string, string>][] = [
    ['postgres', {}],
    ...(redis ? [['redis', { QUEUE_URL: redis.url }] as [string, Record<string, string>]] : []),
  ];
  const figures: Figure[] = [];
  try {
    for (const [queue, env] of queues) {
      for (const measure of [undisturbed, amongKills, afterCrashes]) {
        const found = await measure(queue, env);
        figures.push(...found);
        // The rest takes minutes, so report what is known already.
        for (const { figure, value, bound, detail } of found)
          say(`${figure}: ${value} (${bound}), ${detail}`);
      }
    }
  } finally {
    await redis?.stop();
  }
  if (redis === null)
    figures.push({
      figure: 'told-redis',
      value: 0,
      bound: 'all',
      held: false,
      detail: 'not measured: no redis-server',
    });
  return figures;
}

async function makeBed(name: string, env: Record<string, string>): Promise<Bed> {
  const listener = await startListener();
  const service = await wholeService({ ...SOON, QUEUE_PREFIX: name, ...env });
  await service.start();
  const { token } = await service.newFleet(name);
  const plan = await call<{ id: string }>(service.url, token, '/v1/interval-plans', INTERVAL_PLAN);
  await call(service.url, token, '/v1/reminder-targets', { kind: 'webhook', address: listener.url });
  // Wait until the scheduled check has caught up for this morning, so that no later one can help.
  await delay(3_000);
  return {
    ...{ service, listener, token, planId: plan.id },
    async close() {
      await service.remove();
      listener.close();
    },
  };
}

/**
 * Posts a vehicle that is late in every way, and repeats that until there is an answer. An
 * idempotency key makes it one vehicle, however often it is posted.
 */
async function postVehicle({ service, token, planId }: Bed, unitNumber: string): Promise<void> {
  const body = JSON.stringify({ unitNumber, intervalPlanId: planId, inServiceOn: '2001-03-15' });
  for (;;) {
    const answer = await fetch(`${service.url}/v1/vehicles`, {
      method: 'POST',
      headers: {
        ...{
          authorization: `Bearer ${token}`,
          'content-type': 'application/json',
          'idempotency-key': unitNumber,
        },
      },
      body,
    }).catch(() => null);
    if (answer?.status === 201) return;
    if (answer && answer.status < 500) throw new Error(`${answer.status}: ${await answer.text()}`);
    await delay(100);
  }
}

async function postAll(bed: Bed, unitNumbers: string[], answered: (unit: string) => void): Promise<void> {
  const left = [...unitNumbers];
  const postOn = async (): Promise<void> => {
    for (let unit = left.shift(); unit !== undefined; unit = left.shift()) {
      await postVehicle(bed, unit);
      answered(unit);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, postOn));
}

const units = (prefix: string, count: number): string[] =>
  Array.from({ length: count }, (_, index) => `${prefix}-${index + 1}`);

async function untilAccepted({ listener }: Bed, count: number, withinMs: number): Promise<void> {
  const end = performance.now() + withinMs;
  while (listener.accepted.size < count && performance.now() < end) await delay(20);
}

async function undisturbed(queue: string, env: Record<string, string>): Promise<Figure[]> {
  const bed = await makeBed(`told-${queue}`, env);
  try {
    const postedAt = new Map<string, number>();
    for (let round = 1; round <= ROUNDS; round++) {
      await postAll(bed, units(`R${round}`, VEHICLES_A_ROUND), (unit) =>
        postedAt.set(unit, performance.now()),
      );
      await untilAccepted(bed, round * VEHICLES_A_ROUND * LINES, 60_000);
    }
    const took = Array.from(
      bed.listener.accepted,
      ([line, heardAt]) => heardAt - (postedAt.get(line.split(' ')[0] ?? '') ?? 0),
    );
    const wanted = ROUNDS * VEHICLES_A_ROUND * LINES;
    const p99 = took.length === wanted ? quantile(took, 0.99) : Number.POSITIVE_INFINITY;
    const half = took.length === 0 ? 'none' : `half of them within ${ms(quantile(took, 0.5))}`;
    const detail = `${took.length} of ${wanted} heard; ${half} of the answer to the post`;
    return [atMost(`told-p99-ms-${queue}`, p99, 2_000, detail)];
  } finally {
    await bed.close();
  }
}

/** Keeps posting while the service is killed. The receiver rejects a fifth of the messages. */
async function amongKills(queue: string, env: Record<string, string>): Promise<Figure[]> {
  const bed = await makeBed(`kills-${queue}`, env);
  try {
    const { service, listener } = bed;
    listener.refuseEvery(5);
    const kills: number[] = [];
    const began = performance.now();
    const posting = postAll(bed, units('K', VEHICLES_AMONG_KILLS), () => undefined);
    for (let kill = 1; kill <= KILLS; kill++) {
      await delay(700 + 400 * kill);
      await service.kill();
      kills.push(performance.now());
      await service.start();
    }
    await posting;
    const wanted = VEHICLES_AMONG_KILLS * LINES;
    await untilAccepted(bed, wanted, 240_000 - (performance.now() - began));
    const seconds = (performance.now() - began) / 1000;
    await delay(3_000);
    const detail = `of ${wanted}, ${seconds.toFixed(0)} s after the first post, with ${KILLS} kills and a fifth refused`;
    return [
      atLeast(`told-among-kills-${queue}`, listener.accepted.size, wanted, detail),
      atMost(
        `told-twice-without-kill-${queue}`,
        listener.again.filter(
          ({ acceptedAt }) =>
            !kills.some((kill) => acceptedAt < kill && kill - acceptedAt < WRITTEN_DOWN_WITHIN_MS),
        ).length,
        0,
        `${listener.again.length} came again that a kill had cut off before it was written down that they were accepted`,
      ),
    ];
  } finally {
    await bed.close();
  }
}

/** What was posted successfully before a kill must be reported to the receiver after it. */
async function afterCrashes(queue: string, env: Record<string, string>): Promise<Figure[]> {
  const bed = await makeBed(`crash-${queue}`, env);
  try {
    const { service, listener } = bed;
    let slowest = 0;
    let wanted = 0;
    for (let crash = 1; crash <= CRASHES; crash++) {
      const posting = postAll(bed, units(`C${crash}`, 30), () => undefined);
      await delay(100 + 130 * crash);
      await service.kill();
      await service.start();
      const readyAt = performance.now();
      await posting;
      wanted += 30 * LINES;
      await untilAccepted(bed, wanted, 60_000);
      const all = listener.accepted.size === wanted;
      slowest = Math.max(slowest, all ? performance.now() - readyAt : Number.POSITIVE_INFINITY);
    }
    return [
      atMost(
        `told-after-crash-s-${queue}`,
        slowest / 1000,
        15,
        `from ready until all of ${wanted / CRASHES} lines were heard, the slowest of ${CRASHES} kills amid posts`,
      ),
    ];
  } finally {
    await bed.close();
  }
}
