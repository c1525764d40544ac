import { createPostgresBackend } from 'bullmq';

/**
 * BullMQ's backend on PostgreSQL, which recovers from a beginning at which PostgreSQL was away.
 *
 * BullMQ asks once whether its tables are there, and keeps the answer, a failure too: what was
 * begun at the wrong moment would fail for good. A worker would even fail over and over without
 * waiting for anything in between, and would block the whole process.
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

/** Has a failure forgotten, so that the next one who waits asks again. */
function askAnew(waiting: Waiting): void {
  const ask = waiting.waitUntilReady.bind(waiting);
  waiting.waitUntilReady = () =>
    ask().catch((error: unknown) => {
      Reflect.set(waiting, 'readyPromise', undefined);
      throw error;
    });
}
