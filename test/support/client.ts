import { Agent } from 'node:http';
import { Readable } from 'node:stream';
import request from 'supertest';

export interface Answer<T = any> {
  status: number;
  headers: Headers;
  body: T;
}

export interface Client {
  token: string;
  get<T = any>(path: string, headers?: Record<string, string>): Promise<Answer<T>>;
  post<T = any>(path: string, body?: unknown, headers?: Record<string, string>): Promise<Answer<T>>;
  patch<T = any>(path: string, body: unknown, headers?: Record<string, string>): Promise<Answer<T>>;
  delete<T = any>(path: string, headers?: Record<string, string>): Promise<Answer<T>>;
  send<T = any>(
    method: string,
    path: string,
    body: string | Buffer | undefined,
    headers?: Record<string, string>,
  ): Promise<Answer<T>>;
}

const agent = new Agent({ keepAlive: true });

/** Reads a body of any media type as UTF-8 text. */
function readText(body: Readable, done: (error: Error | null, text?: string) => void): void {
  const chunks: Buffer[] = [];
  body.on('data', (chunk: Buffer) => chunks.push(chunk));
  body.on('end', () => done(null, new TextDecoder().decode(Buffer.concat(chunks))));
}

function headersOf(rawHeaders: string[]): Headers {
  const headers = new Headers();
  for (let at = 0; at < rawHeaders.length; at += 2) headers.append(rawHeaders[at]!, rawHeaders[at + 1]!);
  return headers;
}

/** A client of the service at `url`, with a token or without one. */
export function clientOf(url: string, token: string | null): Client {
  async function send<T>(
    method: string,
    path: string,
    body: string | Buffer | undefined,
    headers: Record<string, string> = {},
  ): Promise<Answer<T>> {
    const response = await new request.Test(url, method, path)
      .agent(agent)
      .set({
        accept: '*/*',
        ...(token === null ? {} : { authorization: `Bearer ${token}` }),
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        ...headers,
      })
      .redirects(0)
      .buffer(true)
      .parse(readText as never)
      .ok(() => true)
      .send(body as string);
    const text = typeof response.body === 'string' ? response.body : '';
    const answered = headersOf((response as unknown as { res: { rawHeaders: string[] } }).res.rawHeaders);
    const isJson = /json/.test(answered.get('content-type') ?? '');
    return {
      status: response.status,
      headers: answered,
      body: (isJson && text !== '' ? JSON.parse(text) : text) as T,
    };
  }
  return {
    token: token ?? '',
    send,
    get: (path, headers) => send('GET', path, undefined, headers),
    post: (path, body, headers) =>
      send('POST', path, body === undefined ? undefined : JSON.stringify(body), headers),
    patch: (path, body, headers) => send('PATCH', path, JSON.stringify(body), headers),
    delete: (path, headers) => send('DELETE', path, undefined, headers),
  };
}
