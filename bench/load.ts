import autocannon, { type Request } from 'autocannon';

export interface Load {
  url: string;
  connections: number;
  /** Made for each request anew; or some, asked one after the other over and over. */
  request: (() => Request) | Request[];
  /** What every answer must be. */
  status: number;
}

export interface Measured {
  perSecond: number;
  /** Milliseconds of each answer. */
  latencies: number[];
}

/**
 * Asks as fast as so many connections can.
 *
 * @throws Error when an answer has another status than the one expected, or none came
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
 * Several loads in turn, round after round, so that what else the machine does meets all of them
 * alike.
 */
export async function inTurn(loads: Load[], rounds: number, seconds: number): Promise<Measured[][]> {
  const measured: Measured[][] = loads.map(() => []);
  for (let round = 0; round < rounds; round++) {
    for (const [index, each] of loads.entries()) measured[index]?.push(await load(each, { seconds }));
  }
  return measured;
}

/**
 * Until what runs is compiled as it would be after a while in earnest, which takes so many
 * requests, however fast the machine is.
 */
export async function warmUp(loads: Load[], amount = 6000): Promise<void> {
  for (const each of loads) await load(each, { amount });
}
