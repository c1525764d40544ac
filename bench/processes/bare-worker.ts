import { Queue, Worker } from 'bullmq';
import { Redis } from 'ioredis';
import { request } from 'undici';
import { Webhook } from 'standardwebhooks';
import { readConfig } from '../../src/platform/config/config.js';
import { answering } from '../child.js';

/**
 * The theoretical limit: a worker that posts the content of a job, signed like the service's
 * messages, and stores nothing.
 */
const redisUrl = process.env.BENCH_REDIS_URL ?? '';
/** The service's own concurrency, since it waits as long for receivers. */
const CONCURRENCY = readConfig({}, 'postgres://bare').deliveryConcurrency;
const BODY_BYTES = 900;
const connection = new Redis(redisUrl, { maxRetriesPerRequest: null });
const queue = new Queue<{ id: string; url: string; body: string }>('bare', { connection, prefix: 'bare' });
const signer = new Webhook('whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw');
let worker: Worker<{ id: string; url: string; body: string }> | null = null;

answering(
  {
    fill: ({ reminders, url }: { reminders: { id: string }[]; url: string }) =>
      queue
        .addBulk(
          reminders.map(({ id }) => ({
            name: 'post',
            data: { id, url, body: JSON.stringify({ text: 'x'.repeat(BODY_BYTES) }) },
            opts: { removeOnComplete: true, removeOnFail: true },
          })),
        )
        .then(() => null),
    start: () => {
      worker = new Worker(
        'bare',
        async ({ data: { id, url, body } }) => {
          const now = new Date();
          const answer = await request(url, {
            method: 'POST',
            body,
            headers: {
              'content-type': 'application/json',
              'webhook-id': id,
              'webhook-timestamp': String(Math.floor(now.getTime() / 1000)),
              'webhook-signature': signer.sign(id, now, body),
            },
          });
          await answer.body.dump();
          if (answer.statusCode !== 204) throw new Error(`answered by ${answer.statusCode}`);
        },
        { connection: connection.duplicate(), concurrency: CONCURRENCY, prefix: 'bare' },
      );
      worker.on('error', (error) => process.stderr.write(`${String(error)}\n`));
      return null;
    },
  },
  async () => {
    await worker?.close();
    await queue.close();
    connection.disconnect();
  },
);
