import { createServer, type IncomingHttpHeaders, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

/** A message as it arrived, byte for byte. */
export interface Received {
  headers: IncomingHttpHeaders;
  text: string;
  body: any;
}

/** A real web server that takes webhooks and answers as the test decides. */
export interface Receiver {
  url: string;
  received: Received[];
  /** Answers the next messages, until it is replaced. */
  answer: (reply: ServerResponse, message: Received) => void;
  /** Resolves once this many have arrived. @throws Error when they do not arrive in time */
  untilReceived(count: number, withinMs?: number): Promise<Received[]>;
  close(): Promise<void>;
}

export async function startReceiver(): Promise<Receiver> {
  const received: Received[] = [];
  const server = createServer((request, reply) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const text = Buffer.concat(chunks).toString('utf8');
      const message = { headers: request.headers, text, body: JSON.parse(text) };
      received.push(message);
      receiver.answer(reply, message);
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const receiver: Receiver = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/hook`,
    received,
    answer: (reply) => reply.writeHead(204).end(),
    async untilReceived(count, withinMs = 60_000) {
      await until(
        () => received.length >= count,
        withinMs,
        () => `${received.length} of ${count} messages arrived`,
      );
      return received;
    },
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
  return receiver;
}

/**
 * The longest pause between two checks. The pauses leave the processor to what is being waited for.
 */
const LONGEST_PAUSE_MS = 200;

/** Waits until a condition holds. @throws Error when it does not hold in time */
export async function until(
  holds: () => boolean | Promise<boolean>,
  withinMs = 60_000,
  complaint: () => string = () => 'it did not come to that in time',
): Promise<void> {
  const end = Date.now() + withinMs;
  for (let pauseMs = 10; !(await holds()); pauseMs = Math.min(LONGEST_PAUSE_MS, pauseMs * 1.3)) {
    if (Date.now() > end) throw new Error(complaint());
    await new Promise((resolve) => setTimeout(resolve, pauseMs));
  }
}
