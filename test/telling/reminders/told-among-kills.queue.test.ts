import { setTimeout as delay } from 'node:timers/promises';
import { startListener } from '../../../bench/listener.js';
import { INTERVAL_PLAN } from '../../../bench/scenario.js';
import { wholeService } from '../../../bench/whole-service.js';
import { until } from '../../support/receiver.js';
import { startOwnRedis } from '../../support/redis-server.mjs';
import { clientOf } from '../../support/service.js';

/** Which queue backend this Jest project runs on. */
declare const QUEUE: 'postgres' | 'redis';

const VEHICLES = 24;
const LINES = VEHICLES * INTERVAL_PLAN.intervals.length;

// `npm run bench -- --only told` does the same with more, and says how long it took.
describe('with the whole service killed amid posts', () => {
  it('every post leads to its reminder, and no accepted one is repeated, except those cut off by a kill', async () => {
    const redis = QUEUE === 'redis' ? await startOwnRedis() : null;
    const listener = await startListener();
    const service = await wholeService({
      ...{ QUEUE_URL: redis?.url ?? '', SEND_RETRY_SECONDS: Array(40).fill('1').join() },
    });
    try {
      await service.start();
      const { token } = await service.newFleet('Among kills');
      const manager = clientOf(service.url, token);
      const plan = await manager.post('/v1/interval-plans', INTERVAL_PLAN);
      await manager.post('/v1/reminder-targets', { kind: 'webhook', address: listener.url });
      listener.refuseEvery(5);

      const postOne = async (unitNumber: string): Promise<void> => {
        const vehicle = { unitNumber, intervalPlanId: plan.body.id, inServiceOn: '2001-03-15' };
        for (let status = 0; status !== 201;) {
          const answer = await manager
            .post('/v1/vehicles', vehicle, { 'idempotency-key': unitNumber })
            .catch(() => null);
          status = answer?.status ?? 0;
          if (status !== 201) await delay(100);
        }
      };
      const posting = (async () => {
        for (let n = 1; n <= VEHICLES; n++) await postOne(`K-${n}`);
      })();
      for (let kill = 0; kill < 2; kill++) {
        const heard = listener.accepted.size;
        await until(() => listener.accepted.size > heard + 5, 60_000);
        await service.kill();
        await service.start();
      }
      await posting;
      await until(
        () => listener.accepted.size === LINES,
        120_000,
        () => `${listener.accepted.size} of ${LINES} were heard`,
      );

      const cutOff = async (id: string): Promise<boolean> => {
        const { body } = await manager.get(`/v1/reminders/${id}/attempts`);
        return body.items.some(({ durationMs }: { durationMs: number | null }) => durationMs === null);
      };
      for (const { id } of listener.again) expect([id, await cutOff(id)]).toEqual([id, true]);
    } finally {
      await service.remove();
      listener.close();
      await redis?.stop();
    }
  }, 240_000);
});
