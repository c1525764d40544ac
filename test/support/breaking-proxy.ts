import { once } from 'node:events';
import { type AddressInfo, connect, createServer, type Socket } from 'node:net';

/**
 * What happens to a response on its way back: it is passed on, lost with its connection, or held
 * back for good. `instead` answers in the service's place.
 */
export type Passage = 'pass' | 'cut' | 'hold' | { instead: string };

/** A network between a client and the service that fails as the test decides. */
export interface BreakingProxy {
  url: string;
  /** The head of every request that came through, in order. */
  heads: string[];
  /**
   * How many of the service's responses were cut or held back. Their requests have been carried
   * out.
   */
  lost(): number;
  /**
   * Sets what happens to the next responses, in order; later ones pass. An `instead` answers at
   * once, and the service does not see the request.
   */
  next(...passages: Passage[]): void;
  close(): Promise<void>;
}

export async function startBreakingProxy(target: string): Promise<BreakingProxy> {
  const { hostname, port } = new URL(target);
  const heads: string[] = [];
  const sockets = new Set<Socket>();
  let coming: Passage[] = [];
  let lost = 0;

  const server = createServer((near) => {
    const far = connect(Number(port), hostname);
    let passage: Passage = 'pass';
    for (const socket of [near, far]) {
      sockets.add(socket);
      socket.on('error', () => undefined);
      socket.on('close', () => {
        sockets.delete(socket);
        near.destroy();
        far.destroy();
      });
    }
    near.on('data', (chunk: Buffer) => {
      const text = chunk.toString('latin1');
      if (/^[A-Z]+ \/\S* HTTP\/1\.1\r\n/.test(text)) {
        heads.push(text.slice(0, text.indexOf('\r\n\r\n')));
        passage = coming.shift() ?? 'pass';
        if (typeof passage === 'object') near.end(passage.instead);
      }
      if (typeof passage !== 'object') far.write(chunk);
    });
    far.on('data', (chunk: Buffer) => {
      if (passage === 'pass') near.write(chunk);
      else lost++;
      if (passage === 'cut') near.resetAndDestroy();
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    heads,
    lost: () => lost,
    next: (...passages) => (coming = passages),
    async close() {
      for (const socket of sockets) socket.destroy();
      server.close();
      await once(server, 'close');
    },
  };
}
