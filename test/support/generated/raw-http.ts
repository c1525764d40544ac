import { connect } from 'node:net';

export interface RawRequest {
  method: string;
  /** The target as written in the request line. */
  target: string;
  headers: [string, string][];
  body: Buffer;
}

export interface RawAnswer {
  /** 0 when the connection ended without a response. */
  status: number;
  text: string;
}

const LONGEST_MS = 60_000;

function written({ method, target, headers, body }: RawRequest): Buffer {
  const all: [string, string][] = [['host', 'localhost'], ['connection', 'close'], ...headers];
  if (!headers.some(([name]) => ['content-length', 'transfer-encoding'].includes(name)))
    all.push(['content-length', String(body.length)]);
  const head = [`${method} ${target} HTTP/1.1`, ...all.map(([name, value]) => `${name}: ${value}`)].join(
    '\r\n',
  );
  return Buffer.concat([Buffer.from(`${head}\r\n\r\n`, 'utf8'), body]);
}

/**
 * Sends a request byte for byte, as no HTTP client would. Reads only the head of a stream's
 * response.
 */
export function sendRaw(port: number, request: RawRequest): Promise<RawAnswer> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1');
    let text = '';
    const tell = (): void => {
      clearTimeout(timer);
      socket.destroy();
      // After a 100, the actual response is still to come.
      resolve({ status: Number(/^HTTP\/1\.1 ([2-5]\d\d)/m.exec(text)?.[1] ?? 0), text });
    };
    const timer = setTimeout(tell, LONGEST_MS);
    socket.on('data', (piece) => {
      text += piece.toString('latin1');
      if (/^content-type: text\/event-stream/im.test(text.slice(0, 4000))) tell();
    });
    socket.on('error', tell);
    socket.on('close', tell);
    socket.write(written(request));
  });
}

/** Formats a request so that it can be sent again by hand. */
export function told({ method, target, headers, body }: RawRequest): string {
  const shown = headers.map(([name, value]) =>
    name === 'authorization' ? name : `${name}: ${value.slice(0, 200)}`,
  );
  const isText = body.every((byte) => byte >= 9 && byte < 127);
  const content = isText
    ? body.toString().slice(0, 4000)
    : `base64 ${body.toString('base64').slice(0, 4000)}`;
  return `${method} ${target.slice(0, 500)}\n  ${shown.join('\n  ')}\n  ${content}`;
}
