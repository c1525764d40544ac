/** So long one task goes on before others get a turn. */
const TURN_MS = 5;

/** Does something with each of many items, and lets other requests be served meanwhile. */
export async function inTurns<T>(items: readonly T[], work: (item: T) => void): Promise<void> {
  let began = performance.now();
  for (const item of items) {
    if (performance.now() - began > TURN_MS) {
      await new Promise((resolve) => setImmediate(resolve));
      began = performance.now();
    }
    work(item);
  }
}
