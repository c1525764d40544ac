import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';

/**
 * What a receiver does with a message.
 *
 * - `accepted`: takes it and answers 204;
 * - `refused`: answers 500 without taking it;
 * - `hung`: takes it and never answers;
 * - `cut`: takes it and cuts the connection instead of answering.
 */
export type Outcome = 'accepted' | 'refused' | 'hung' | 'cut';

export interface Arrival {
  id: string;
  outcome: Outcome;
  /** Whether the connection that delivered it is still open. */
  isConnected: boolean;
}

export interface FaultyReceiver {
  url: string;
  /** In order of arrival. */
  arrivals: Arrival[];
  /** Ids that were accepted at least once. */
  accepted: Set<string>;
  close(): Promise<void>;
}

/**
 * Returns a function that gives a number from 0 up to 1 at each call, the same series for the same
 * seed (mulberry32, a public-domain generator).
 */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/**
 * Starts a real web server that takes webhooks and fails at random; `shares` is the share of
 * messages that gets each fault.
 */
export async function startFaultyReceiver(
  seed: number,
  shares: Partial<Record<Exclude<Outcome, 'accepted'>, number>>,
): Promise<FaultyReceiver> {
  const random = seeded(seed);
  const arrivals: Arrival[] = [];
  const accepted = new Set<string>();
  const onSocket = new WeakMap<Socket, Arrival[]>();

  function draw(): Outcome {
    let rest = random();
    for (const [outcome, share] of Object.entries(shares)) {
      if (rest < share) return outcome as Outcome;
      rest -= share;
    }
    return 'accepted';
  }

  function note(request: IncomingMessage): Outcome {
    const { socket, headers } = request;
    const arrival: Arrival = {
      id: String(headers['webhook-id']),
      outcome: draw(),
      isConnected: true,
    };
    arrivals.push(arrival);
    let mates = onSocket.get(socket);
    if (!mates) {
      const together: Arrival[] = [];
      mates = together;
      onSocket.set(socket, together);
      socket.once('close', () => {
        for (const mate of together) mate.isConnected = false;
      });
    }
    mates.push(arrival);
    return arrival.outcome;
  }

  function answer(request: IncomingMessage, reply: ServerResponse): void {
    const outcome = note(request);
    if (outcome === 'refused') reply.writeHead(500).end('try again');
    if (outcome === 'cut') request.socket.destroy();
    if (outcome !== 'accepted') return;
    accepted.add(String(request.headers['webhook-id']));
    reply.writeHead(204).end();
  }

  const server = createServer((request, reply) => {
    request.resume().once('end', () => answer(request, reply));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/hook`,
    arrivals,
    accepted,
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
