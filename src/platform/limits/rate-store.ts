import { RateLimiterPostgres, RateLimiterRedis, RateLimiterRes } from 'rate-limiter-flexible';
import type { DataSource } from 'typeorm';
import type { Config } from '../config/config.js';

/** The count of a key in its current one-minute window. */
export interface Counted {
  /** Includes the requests that were just counted. */
  count: number;
  endsInMs: number;
}

/** Counts requests for all processes together. */
export interface RateStore {
  /** Adds to the count of a key. @throws Error when the store is away */
  count(key: string, more: number): Promise<Counted>;
  close(): void;
}

export const WINDOW_SECONDS = 60;

/** A store that takes longer counts as away, because a request must not wait for it. */
const PATIENCE_MS = 500;

/** The library itself must never refuse: the caller decides what is too much. */
const NO_LIMIT = 2 ** 31 - 1;

/** Opens the store: on Redis when the queue is there, otherwise on PostgreSQL. */
export async function openRateStore(config: Config, dataSource: DataSource): Promise<RateStore> {
  const shared = { points: NO_LIMIT, duration: WINDOW_SECONDS };
  if (config.queue.kind !== 'redis') {
    const limiter = new RateLimiterPostgres({
      ...shared,
      storeClient: dataSource,
      storeType: 'typeorm',
      tableName: 'request_counts',
      tableCreated: true,
      keyPrefix: '',
    });
    return { count: (key, more) => counting(limiter.consume(key, more)), close: () => undefined };
  }
  const { Redis } = await import('ioredis');
  const redis = new Redis(config.queue.url, { enableOfflineQueue: false, maxRetriesPerRequest: 1 });
  redis.on('error', () => undefined);
  const limiter = new RateLimiterRedis({
    ...shared,
    storeClient: redis,
    keyPrefix: `${config.queuePrefix}-requests`,
  });
  return {
    count: (key, more) => counting(limiter.consume(key, more)),
    close: () => redis.disconnect(),
  };
}

async function counting(consuming: Promise<RateLimiterRes>): Promise<Counted> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error(`no answer within ${PATIENCE_MS} ms`)), PATIENCE_MS);
  });
  try {
    const { consumedPoints, msBeforeNext } = await Promise.race([consuming, late]);
    return { count: consumedPoints, endsInMs: msBeforeNext };
  } finally {
    clearTimeout(timer);
    consuming.catch(() => undefined);
  }
}
