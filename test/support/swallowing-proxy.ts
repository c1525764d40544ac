import { once } from 'node:events';
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

/**
 * A network between a client and a server that can forget its connections, as a NAT or a load
 * balancer does: neither end is told, and nothing that either sends arrives.
 */
export interface SwallowingProxy {
  /** The server's URL through the proxy. */
  url: string;
  /** From now on, the open connections swallow everything. New ones work. */
  swallow(): void;
  /** How many swallowing connections the client has not given up yet. */
  swallowing(): number;
  /** How many connections work. */
  working(): number;
  close(): Promise<void>;
}

interface Pair {
  near: Socket;
  far: Socket;
  isSwallowing: boolean;
  isGivenUp: boolean;
}

export async function startSwallowingProxy(target: string): Promise<SwallowingProxy> {
  const { hostname, port } = new URL(target);
  const pairs: Pair[] = [];

  // Half-open, because the end of a connection is swallowed too.
  const server = createServer({ allowHalfOpen: true }, (near) => {
    const far = connect({ host: hostname, port: Number(port), allowHalfOpen: true });
    const pair: Pair = { near, far, isSwallowing: false, isGivenUp: false };
    pairs.push(pair);
    const passing = (from: Socket, to: Socket): void => {
      from.on('data', (chunk: Buffer) => void (pair.isSwallowing || to.write(chunk)));
      from.on('end', () => void (pair.isSwallowing || to.end()));
      from.on('close', () => void (pair.isSwallowing || to.destroy()));
      from.on('error', () => undefined);
    };
    passing(near, far);
    passing(far, near);
    for (const end of ['end', 'close']) near.on(end, () => (pair.isGivenUp = true));
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const url = new URL(target);
  url.hostname = '127.0.0.1';
  url.port = String((server.address() as AddressInfo).port);
  const count = (isSwallowing: boolean): number =>
    pairs.filter((pair) => pair.isSwallowing === isSwallowing && !pair.isGivenUp).length;
  return {
    url: url.href,
    swallow() {
      for (const pair of pairs) pair.isSwallowing = true;
    },
    swallowing: () => count(true),
    working: () => count(false),
    async close() {
      for (const { near, far } of pairs) {
        near.destroy();
        far.destroy();
      }
      server.close();
      await once(server, 'close');
    },
  };
}
