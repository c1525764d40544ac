import { createPostgresBackend } from 'bullmq';

/**
 * BullMQ's backend on PostgreSQL, made to recover if PostgreSQL was away when it started.
 *
 * BullMQ checks only once whether its tables exist and keeps the answer, even a failure: a queue
 * that starts at the wrong moment would fail for good. A worker would even fail in a tight loop,
 * without a pause, and block the whole process.
 */
export const createRecoveringBackend: typeof createPostgresBackend = (...args) => {
  const backend = createPostgresBackend(...args);
  askAnew(backend);
  askAnew(backend.connection);
  return backend;
};

interface Waiting {
  waitUntilReady(): Promise<void>;
}

/** Forgets a failed check, so that the next caller checks again. */
function askAnew(waiting: Waiting): void {
  const ask = waiting.waitUntilReady.bind(waiting);
  waiting.waitUntilReady = () =>
    ask().catch((error: unknown) => {
      Reflect.set(waiting, 'readyPromise', undefined);
      throw error;
    });
}
