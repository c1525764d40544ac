import autocannon, { type Request } from 'autocannon';

export interface Load {
  url: string;
  connections: number;
  /** A function that makes each request, or a list of requests to repeat in turn. */
  request: (() => Request) | Request[];
  /** The status that every response must have. */
  status: number;
}

export interface Measured {
  perSecond: number;
  /** Response times in milliseconds. */
  latencies: number[];
}

/**
 * Sends requests as fast as this many connections can.
 *
 * @throws Error when a response has an unexpected status, or none arrives
 */
export async function load(
  { url, connections, request, status }: Load,
  end: { seconds: number } | { amount: number },
): Promise<Measured> {
  const latencies: number[] = [];
  const others = new Map<number, number>();
  const run = autocannon({
    url,
    connections,
    ...('seconds' in end ? { duration: end.seconds } : { amount: end.amount }),
    requests: Array.isArray(request) ? request : [{ setupRequest: (given) => ({ ...given, ...request() }) }],
  });
  run.on('response', (_client: unknown, got: number, _bytes: number, milliseconds: number) => {
    if (got === status) latencies.push(milliseconds);
    else others.set(got, (others.get(got) ?? 0) + 1);
  });
  const began = performance.now();
  const result = await run;
  const seconds = (performance.now() - began) / 1000;
  if (others.size > 0 || result.errors > 0 || latencies.length === 0) {
    const statuses = [...others].map(([got, count]) => `${count} × ${got}`).join(', ');
    throw new Error(
      `${url}: not all answers were ${status}: ${statuses || 'none came'}, ${result.errors} errors`,
    );
  }
  return { perSecond: latencies.length / seconds, latencies };
}

/**
 * Runs several loads in turn, round after round, so that other activity on the machine affects all
 * of them alike.
 */
export async function inTurn(loads: Load[], rounds: number, seconds: number): Promise<Measured[][]> {
  const measured: Measured[][] = loads.map(() => []);
  for (let round = 0; round < rounds; round++) {
    for (const [index, each] of loads.entries()) measured[index]?.push(await load(each, { seconds }));
  }
  return measured;
}

/**
 * Sends requests until the code is compiled as it would be after a while in production. That takes
 * this many requests, however fast the machine is.
 */
export async function warmUp(loads: Load[], amount = 6000): Promise<void> {
  for (const each of loads) await load(each, { amount });
}
