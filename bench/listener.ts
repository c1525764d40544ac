import { once } from 'node:events';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

/** Receives webhooks about vehicles, and rejects some of them. */
export interface Listener {
  url: string;
  /** From now on, rejects every `count`-th message; 0, the initial value, rejects none. */
  refuseEvery(count: number): void;
  /** When the first message about each line was accepted, by unit number, component and action. */
  accepted: Map<string, number>;
  /**
   * Messages that came again after they were accepted: the reminder's id, and when it was first
   * accepted.
   */
  again: { id: string; acceptedAt: number }[];
  close(): void;
}

interface Message {
  type: string;
  data: { component: string; action: string; vehicle: { unitNumber: string } };
}

export async function startListener(): Promise<Listener> {
  const accepted = new Map<string, number>();
  const again: Listener['again'] = [];
  let [refusing, heard] = [0, 0];
  const server = createServer((request, reply) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.once('end', () => {
      heard++;
      if (refusing > 0 && heard % refusing === 0) return void reply.writeHead(503).end();
      const { type, data } = JSON.parse(Buffer.concat(chunks).toString()) as Message;
      if (type === 'due-line.late') {
        const line = `${data.vehicle.unitNumber} ${data.component} ${data.action}`;
        const before = accepted.get(line);
        if (before === undefined) accepted.set(line, performance.now());
        else
          again.push({ id: String(request.headers['webhook-id']).replace('msg_', ''), acceptedAt: before });
      }
      reply.writeHead(204).end();
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    refuseEvery: (count) => void (refusing = count),
    accepted,
    again,
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
