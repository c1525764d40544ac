import type { Config } from '../config/config.js';
import type { QueueConnections } from './connections.js';
import { postgresConnections } from './postgres-connections.js';

/**
 * Opens the queue's backend. The Redis client is loaded only when the queue is on Redis.
 *
 * @param consumers how many workers will share the backend; a pool smaller than that deadlocks
 * silently
 */
export async function openQueue(config: Config, consumers: number): Promise<QueueConnections> {
  const { queue, queuePrefix, queueLockMs, databaseUrl } = config;
  if (queue.kind === 'redis') {
    const { redisConnections } = await import('./redis-connections.js');
    return redisConnections(queue.url, queuePrefix, queueLockMs);
  }
  // In the main database, the queue's tables are granted to the service's role.
  const role = queue.url === databaseUrl ? 'weephole_app' : null;
  return postgresConnections(queue.url, consumers + 5, role, queueLockMs);
}
