import { NoAnswerError, ProblemError, problemOf } from './faults.js';
import type {
  Change,
  ItemOf,
  JsonOf,
  Method,
  Operation,
  PagedPath,
  PathsOf,
  RawBody,
  RequestManner,
  RequestOf,
} from './operations.js';
import { pause, type RetryPolicy, USUAL_RETRIES, waitMs } from './retries.js';

export type { components, paths } from './api.js';
export { NoAnswerError, type Problem, ProblemError } from './faults.js';
export type { RawBody } from './operations.js';

export interface ClientOptions {
  /** URL of the service, such as `https://weephole.example`. */
  baseUrl: string;
  /** Null on a page of the service itself: there, the session's cookie says who asks. */
  token: string | null;
  /** Headers that go with every request. */
  headers?: Readonly<Record<string, string>>;
  /**
   * In which language to answer, such as `es` (`Accept-Language`); unless given, that of the
   * runtime, or else of the token or the fleet.
   */
  language?: string;
  retries?: Partial<RetryPolicy>;
  /** Time limit of one try, unless a request sets its own; 30 s by default. */
  timeoutMs?: number;
}

export interface Answer<T> {
  status: number;
  headers: Headers;
  data: T;
}

/** The arguments are optional where an operation needs none. */
type Arguments<O> = object extends RequestOf<O> ? [request?: RequestOf<O>] : [request: RequestOf<O>];

interface AnyRequest extends RequestManner {
  query?: object;
  path?: Record<string, string>;
  body?: unknown;
}

/**
 * Client of the service, typed by its API document. Retries where that is safe, and throws a
 * `ProblemError` for a refusal.
 */
export class WeepholeClient {
  private readonly policy: RetryPolicy;
  private readonly timeoutMs: number;

  constructor(private readonly options: ClientOptions) {
    this.policy = { ...USUAL_RETRIES, ...options.retries };
    this.timeoutMs = options.timeoutMs ?? 30_000;
  }

  get<P extends PathsOf<'get'>>(path: P, ...[request]: Arguments<Operation<P, 'get'>>) {
    return this.json<JsonOf<Operation<P, 'get'>>>('get', path, request);
  }

  /**
   * Sends a POST. All tries share an `Idempotency-Key`, so the service carries it out only once.
   */
  post<P extends PathsOf<'post'>>(path: P, ...[request]: Arguments<Operation<P, 'post'>>) {
    return this.json<JsonOf<Operation<P, 'post'>>>('post', path, request);
  }

  patch<P extends PathsOf<'patch'>>(path: P, ...[request]: Arguments<Change<Operation<P, 'patch'>>>) {
    return this.json<JsonOf<Operation<P, 'patch'>>>('patch', path, request);
  }

  delete<P extends PathsOf<'delete'>>(path: P, ...[request]: Arguments<Operation<P, 'delete'>>) {
    return this.json<JsonOf<Operation<P, 'delete'>>>('delete', path, request);
  }

  /** Downloads a file: CSV, a calendar, a printed page, an attachment. */
  file<P extends PathsOf<'get'>>(
    path: P,
    ...[request]: Arguments<Operation<P, 'get'>>
  ): Promise<Answer<Blob>> {
    return this.insisting('get', path, request, '*/*', (response) => response.blob());
  }

  /** Iterates over every row of a list, and fetches pages as they are needed. */
  async *items<P extends PagedPath>(
    path: P,
    ...[request]: Arguments<Operation<P, 'get'>>
  ): AsyncGenerator<ItemOf<P>, void, undefined> {
    const asked = (request ?? {}) as AnyRequest;
    let cursor: string | null = null;
    do {
      const query = cursor === null ? { ...asked.query } : { ...asked.query, cursor };
      const answer: Answer<{ items: ItemOf<P>[]; next: string | null }> = await this.json('get', path, {
        ...asked,
        query,
      });
      yield* answer.data.items;
      cursor = answer.data.next;
    } while (cursor !== null);
  }

  private json<T>(method: Method, path: string, request: unknown): Promise<Answer<T>> {
    return this.insisting(
      method,
      path,
      request as AnyRequest | undefined,
      'application/json',
      async (response) => {
        if (response.status === 204 || response.status === 304) return undefined as T;
        const type = response.headers.get('content-type') ?? 'nothing';
        // The sign-in page of a public network answers 200 too.
        if (!/\bjson\b/.test(type)) throw new NoAnswerError(`JSON was to be answered, and ${type} was`);
        return (await response.json()) as T;
      },
    );
  }

  private async insisting<T>(
    method: Method,
    path: string,
    request: AnyRequest = {},
    accept: string,
    read: (response: Response) => Promise<T>,
  ): Promise<Answer<T>> {
    const url = urlOf(this.options.baseUrl, path, request);
    const { body, headers } = bodyOf(request.body);
    headers.set('accept', accept);
    for (const [name, value] of Object.entries(this.options.headers ?? {})) headers.set(name, value);
    if (this.options.token !== null) headers.set('authorization', `Bearer ${this.options.token}`);
    if (this.options.language !== undefined) headers.set('accept-language', this.options.language);
    if (request.ifMatch !== undefined) headers.set('if-match', request.ifMatch);
    if (request.ifNoneMatch !== undefined) headers.set('if-none-match', request.ifNoneMatch);
    if (method === 'post') headers.set('idempotency-key', request.idempotencyKey ?? randomKey());
    const init: RequestInit = { method: method.toUpperCase(), headers, body, redirect: 'error' };
    for (let failures = 1; ; failures++) {
      try {
        return await this.once(url, init, request, read);
      } catch (fault) {
        request.signal?.throwIfAborted();
        const ms = waitMs(fault, failures, this.policy, { nowMs: Date.now(), draw: Math.random() });
        if (ms === null) throw fault;
        await pause(ms, request.signal);
      }
    }
  }

  private async once<T>(
    url: string,
    init: RequestInit,
    { signal, timeoutMs = this.timeoutMs }: RequestManner,
    read: (response: Response) => Promise<T>,
  ): Promise<Answer<T>> {
    signal?.throwIfAborted();
    const late = AbortSignal.timeout(timeoutMs);
    const until = signal ? AbortSignal.any([signal, late]) : late;
    try {
      const response = await fetch(url, { ...init, signal: until });
      if (!response.ok && response.status !== 304) throw await problemOf(response);
      return { status: response.status, headers: response.headers, data: await read(response) };
    } catch (cause) {
      if (cause instanceof ProblemError || cause instanceof NoAnswerError) throw cause;
      const why = late.aborted ? `no answer within ${timeoutMs} ms` : 'the connection failed';
      throw new NoAnswerError(`${init.method} ${new URL(url).pathname}: ${why}`, { cause });
    }
  }
}

function urlOf(baseUrl: string, path: string, { path: names = {}, query = {} }: AnyRequest): string {
  const filled = path.replace(/\{(\w+)\}/g, (_all, name: string) => {
    const value = names[name];
    // With an empty value, the path would be that of the list.
    if (value === undefined || value === '') throw new RangeError(`path.${name} is wanting for ${path}`);
    return encodeURIComponent(value);
  });
  const url = new URL(baseUrl.replace(/\/+$/, '') + filled);
  for (const [name, value] of Object.entries(query) as [string, string | number | null | undefined][]) {
    if (value !== undefined && value !== null) url.searchParams.set(name, String(value));
  }
  return url.href;
}

/** Prepared once, before the first try, so that the same bytes are sent with a key every time. */
function bodyOf(body: unknown): { body: RequestInit['body']; headers: Headers } {
  if (body === undefined) return { body: undefined, headers: new Headers() };
  if (!isRaw(body)) {
    return { body: JSON.stringify(body), headers: new Headers({ 'content-type': 'application/json' }) };
  }
  const headers = new Headers();
  if (body.contentType !== undefined) headers.set('content-type', body.contentType);
  return { body: body.content, headers };
}

function isRaw(body: unknown): body is RawBody {
  if (typeof body !== 'object' || body === null || !('content' in body)) return false;
  const { content } = body;
  return (
    typeof content === 'string' ||
    content instanceof Blob ||
    content instanceof FormData ||
    content instanceof Uint8Array
  );
}

/** Browsers offer `randomUUID` only on https pages; `getRandomValues` is available everywhere. */
function randomKey(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) =>
    byte.toString(16).padStart(2, '0'),
  ).join('');
}
