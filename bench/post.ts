export interface Posted<T> {
  status: number;
  body: T;
}

/** Sends one request with a token and JSON. @throws Error when the response is not 2xx */
export async function call<T>(url: string, token: string, path: string, body?: unknown): Promise<T> {
  const response = await fetch(url + path, {
    method: body === undefined ? 'GET' : 'POST',
    headers: {
      authorization: `Bearer ${token}`,
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const text = await response.text();
  if (!response.ok) throw new Error(`${path} was answered by ${response.status}: ${text.slice(0, 500)}`);
  return JSON.parse(text) as T;
}

/** Runs jobs with limited concurrency. Returns the milliseconds that each took. */
export async function atOnce<T>(
  count: number,
  items: readonly T[],
  work: (item: T) => Promise<unknown>,
): Promise<number[]> {
  const took: number[] = [];
  const queue = [...items].reverse();
  await Promise.all(
    Array.from({ length: count }, async () => {
      for (let item = queue.pop(); item !== undefined; item = queue.pop()) {
        const began = performance.now();
        await work(item);
        took.push(performance.now() - began);
      }
    }),
  );
  return took;
}
