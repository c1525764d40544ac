/** The service as a client sees it: one token, real HTTP. */
export interface Api {
  get<T>(path: string): Promise<T>;
  post<T>(path: string, body: unknown): Promise<T>;
  patch<T>(path: string, body: unknown): Promise<T>;
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
  async function send<T>(method: string, path: string, body?: unknown): Promise<T> {
    signal?.throwIfAborted();
    const response = await fetch(url + path, {
      method,
      headers: {
        authorization: `Bearer ${token}`,
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const text = await response.text();
    if (!response.ok) throw new Refused(response.status, `${method} ${path}`, text);
    return JSON.parse(text) as T;
  }
  return {
    get: (path) => send('GET', path),
    post: (path, body) => send('POST', path, body),
    patch: (path, body) => send('PATCH', path, body),
  };
}
