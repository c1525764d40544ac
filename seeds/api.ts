/** The service as a client sees it: one token, real HTTP. */
export interface Api {
  get<T>(path: string): Promise<T>;
  post<T>(path: string, body: unknown): Promise<T>;
  patch<T>(path: string, body: unknown): Promise<T>;
  /** Sends a file as it is. */
  attach<T>(path: string, file: Buffer, mediaType: string): Promise<T>;
}

/** The service's answer when it refused a request. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    request: string,
    answer: string,
  ) {
    super(`${request} was answered ${status}: ${answer.slice(0, 600)}`);
  }
}

/**
 * @param signal once aborted, nothing more is sent; requests in progress finish, so nothing is cut
 * off halfway
 * @throws Refused when a response is not 2xx
 */
export function apiOf(url: string, token: string, signal?: AbortSignal): Api {
  async function send<T>(
    method: string,
    path: string,
    content?: { type: string; body: string | Buffer<ArrayBuffer> },
  ): Promise<T> {
    signal?.throwIfAborted();
    const response = await fetch(url + path, {
      method,
      headers: {
        authorization: `Bearer ${token}`,
        ...(content ? { 'content-type': content.type } : {}),
      },
      ...(content ? { body: content.body } : {}),
    });
    const text = await response.text();
    if (!response.ok) throw new Refused(response.status, `${method} ${path}`, text);
    return JSON.parse(text) as T;
  }
  const json = (body: unknown) => ({ type: 'application/json', body: JSON.stringify(body) });
  return {
    get: (path) => send('GET', path),
    post: (path, body) => send('POST', path, json(body)),
    patch: (path, body) => send('PATCH', path, json(body)),
    attach: (path, file, type) => send('POST', path, { type, body: Buffer.from(file) }),
  };
}
