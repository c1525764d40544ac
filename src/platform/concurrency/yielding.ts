/** A task runs for this long before it yields to the event loop. */
const SLICE_MS = 5;

/** Does something with each of many items, and yields to other requests between them. */
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
