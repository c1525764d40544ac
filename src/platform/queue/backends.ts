import type { Config } from '../config/config.js';
import type { QueueConnections } from './connections.js';
import { postgresConnections } from './postgres-connections.js';
import { redisConnections } from './redis-connections.js';

/**
 * Opens the queue's backend.
 *
 * @param consumers how many workers will share it; a pool smaller than that deadlocks without a word
 */
export function openQueue(config: Config, consumers: number): QueueConnections {
  const { queue, queuePrefix, queueLockMs, databaseUrl } = config;
  if (queue.kind === 'redis') return redisConnections(queue.url, queuePrefix, queueLockMs);
  // In the main database the queue's tables are open to the service's role.
  const role = queue.url === databaseUrl ? 'weephole_app' : null;
  return postgresConnections(queue.url, consumers + 5, role, queueLockMs);
}
