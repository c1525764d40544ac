import type { paths } from './api.js';

/** The operations of the service, derived from the generated types. */
export type Method = 'get' | 'post' | 'patch' | 'delete';

export type PathsOf<M extends Method> = {
  [P in keyof paths]: paths[P] extends Record<M, object> ? P : never;
}[keyof paths];

export type Operation<P extends keyof paths, M extends Method> = M extends keyof paths[P]
  ? paths[P][M]
  : never;

type Parameters<O> = O extends { parameters: infer A } ? A : never;
type QueryOf<O> = Parameters<O> extends { query?: infer Q } ? Q : never;
type PathParametersOf<O> = Parameters<O> extends { path: infer A } ? A : never;

/** Numeric parameters may be given as numbers; they are sent as text. */
type Written<Q> = { [K in keyof Q]: string extends NonNullable<Q[K]> ? Q[K] | number : Q[K] };

/** A body that is not JSON, with its media type unless the content has its own. */
export interface RawBody {
  content: string | Blob | FormData | Uint8Array<ArrayBuffer>;
  contentType?: string;
}

type BodyOf<O> = O extends { requestBody: { content: infer C } }
  ? C extends { 'application/json': infer B }
    ? B
    : RawBody
  : never;

/** The body of a PATCH with every field optional: it contains only the changes (RFC 7396). */
export type Change<O> = O extends { requestBody: { content: { 'application/json': infer B } } }
  ? Omit<O, 'requestBody'> & { requestBody: { content: { 'application/json': Partial<B> } } }
  : O;

type QueryOption<O> = [NonNullable<QueryOf<O>>] extends [never]
  ? { query?: never }
  : object extends NonNullable<QueryOf<O>>
    ? { query?: Written<NonNullable<QueryOf<O>>> }
    : { query: Written<NonNullable<QueryOf<O>>> };
type PathOption<O> = [PathParametersOf<O>] extends [never]
  ? { path?: never }
  : { path: Record<keyof PathParametersOf<O>, string> };
type BodyOption<O> = O extends { requestBody: object }
  ? { body: BodyOf<O> }
  : O extends { requestBody?: infer B }
    ? [NonNullable<B>] extends [never]
      ? { body?: never }
      : { body?: BodyOf<{ requestBody: NonNullable<B> }> }
    : { body?: never };

/** Options of one request. */
export interface RequestManner {
  /** Aborts the request, or the wait before the next try, at once. */
  signal?: AbortSignal;
  /** Time limit of one try, until its response is read to the end. */
  timeoutMs?: number;
  /**
   * For a POST; by default, a new one is generated. Pass your own if you may repeat the request
   * after a restart. Keys expire after 24 hours: if a repeat may come later, put an `id` into the
   * body instead, which never expires.
   */
  idempotencyKey?: string;
  /** The ETag of the version that a PATCH applies to. */
  ifMatch?: string;
  /**
   * The ETag of a response you already have. If nothing has changed, the status is 304, without
   * data.
   */
  ifNoneMatch?: string;
}

export type RequestOf<O> = QueryOption<O> & PathOption<O> & BodyOption<O> & RequestManner;

type ResponseOf<O> = O extends { responses: infer R } ? R[keyof R & (200 | 201)] : never;
type ContentOf<R> = R extends { content: infer C } ? C : never;

/**
 * The JSON of an operation's response; undefined when there is no content, never when the response
 * is not JSON.
 */
export type JsonOf<O> = [ResponseOf<O>] extends [never]
  ? undefined
  : ContentOf<ResponseOf<O>> extends { 'application/json': infer J }
    ? J
    : never;

/** The lists that are paged. */
export type PagedPath = {
  [P in PathsOf<'get'>]: JsonOf<Operation<P, 'get'>> extends { items: unknown[]; next: string | null }
    ? P
    : never;
}[PathsOf<'get'>];

export type ItemOf<P extends PagedPath> =
  JsonOf<Operation<P, 'get'>> extends { items: (infer I)[] } ? I : never;
