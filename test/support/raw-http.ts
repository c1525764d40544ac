import { connect, type Socket } from 'node:net';

/** What came back over a socket. */
export interface RawAnswer {
  status: number;
  headers: Record<string, string>;
  body: string;
}

export interface RawRequest {
  token?: string | null | undefined;
  headers?: Record<string, string>;
  body?: string;
}

interface Head {
  status: number;
  headers: Record<string, string>;
  /** Offset at which the body begins. */
  length: number;
}

function headOf(received: Buffer): Head | null {
  const end = received.indexOf('\r\n\r\n');
  if (end < 0) return null;
  const [first = '', ...lines] = received.toString('latin1', 0, end).split('\r\n');
  const headers = Object.fromEntries(
    lines.map((line) => [line.split(':', 1)[0]?.toLowerCase(), line.slice(line.indexOf(':') + 1).trim()]),
  ) as Record<string, string>;
  return { status: Number(first.split(' ')[1] ?? 0), headers, length: end + 4 };
}

/** Parses the response once it is complete; null before that. */
function answerIn(method: string, received: Buffer, hasEnded: boolean): RawAnswer | null {
  const head = headOf(received);
  if (head === null) return hasEnded ? { status: 0, headers: {}, body: received.toString() } : null;
  const { status, headers, length } = head;
  const body = received.subarray(length);
  const hasNoBody = method === 'HEAD' || status === 204 || status === 304;
  // Of an event stream, only the head is read.
  const isEndless = (headers['content-type'] ?? '').startsWith('text/event-stream');
  if (hasNoBody || isEndless) return { status, headers, body: '' };
  const size = headers['content-length'];
  const isChunked = headers['transfer-encoding'] === 'chunked';
  const isWhole =
    hasEnded ||
    (size === undefined
      ? isChunked && body.subarray(-5).toString('latin1') === '0\r\n\r\n'
      : body.length >= Number(size));
  return isWhole ? { status, headers, body: body.toString() } : null;
}

/**
 * A connection that sends each request target exactly as given, where a client would normalise it.
 * It is reopened when it was closed.
 */
export class RawConnection {
  private socket: Socket | null = null;

  constructor(private readonly url: string) {}

  close(): void {
    this.socket?.destroy();
    this.socket = null;
  }

  /** Sends one request and waits for its response; one at a time. */
  send(method: string, target: string, { token, headers = {}, body }: RawRequest = {}): Promise<RawAnswer> {
    const { hostname, port } = new URL(this.url);
    const lines = [
      `${method} ${target} HTTP/1.1`,
      `host: ${hostname}:${port}`,
      ...(token ? [`authorization: Bearer ${token}`] : []),
      ...(body === undefined
        ? []
        : ['content-type: application/json', `content-length: ${Buffer.byteLength(body)}`]),
      ...Object.entries(headers).map(([name, value]) => `${name}: ${value}`),
    ];
    const socket = (this.socket ??= connect(Number(port), hostname));
    return new Promise((resolve, reject) => {
      let received = Buffer.alloc(0);
      const look = (hasEnded: boolean): void => {
        const answer = answerIn(method, received, hasEnded);
        if (answer === null) return;
        socket.removeAllListeners().on('error', () => undefined);
        // Do not reuse the connection if the length of the response is unknown, or the server wants
        // to close it.
        const isKept = answer.headers.connection === 'keep-alive' && answer.headers['content-length'];
        if (!isKept || hasEnded) this.close();
        resolve(answer);
      };
      socket.on('data', (chunk: Buffer) => {
        received = Buffer.concat([received, chunk]);
        look(false);
      });
      socket.on('error', reject);
      socket.on('close', () => look(true));
      socket.write(`${lines.join('\r\n')}\r\n\r\n${body ?? ''}`);
    });
  }
}

/** Sends one request over a connection of its own. */
export async function rawRequest(
  url: string,
  method: string,
  target: string,
  sent: RawRequest = {},
): Promise<RawAnswer> {
  const connection = new RawConnection(url);
  try {
    return await connection.send(method, target, sent);
  } finally {
    connection.close();
  }
}
