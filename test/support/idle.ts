import { WorkQueue } from '../../src/platform/queue/work-queue.js';
import { WakeUps } from '../../src/conclusions/outbox/wake-ups.js';
import { until } from './receiver.js';
import type { Service } from './service.js';

/** Resolves when the service's worker has nothing left to do. */
export async function untilWorkerIsIdle({ app }: Service): Promise<void> {
  await app.get(WakeUps).untilSent();
  for (const name of ['work', 'deliveries'] as const) {
    const queue = app.get(WorkQueue).queue(name);
    await until(async () => (await queue.getJobCountByTypes('waiting', 'active', 'prioritized')) === 0);
  }
}
