/** A task runs for this long before it yields to the event loop. */
const SLICE_MS = 5;

/** Processes many items and yields to other requests in between. */
export async function forEachYielding<T>(items: readonly T[], work: (item: T) => void): Promise<void> {
  let began = performance.now();
  for (const item of items) {
    if (performance.now() - began > SLICE_MS) {
      await new Promise((resolve) => setImmediate(resolve));
      began = performance.now();
    }
    work(item);
  }
}
