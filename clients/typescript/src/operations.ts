import type { paths } from './api.js';

/** What can be asked of the service, read off the generated types. */
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

/** Numbers may be given as numbers: they travel as text. */
type Written<Q> = { [K in keyof Q]: string extends NonNullable<Q[K]> ? Q[K] | number : Q[K] };

/**
 * What a body other than JSON is sent as, with its media type where the value does not bring one.
 */
export interface RawBody {
  content: string | Blob | FormData | Uint8Array<ArrayBuffer>;
  contentType?: string;
}

type BodyOf<O> = O extends { requestBody: { content: infer C } }
  ? C extends { 'application/json': infer B }
    ? B
    : RawBody
  : never;

/** A PATCH says what changes, and no more: what a whole one needs may be left out (RFC 7396). */
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

/** How one request is made, beside what it says. */
export interface RequestManner {
  /** Ends the request, and the wait before the next try, at once. */
  signal?: AbortSignal;
  /** Of one try, until its answer is read to the end. */
  timeoutMs?: number;
  /**
   * For a POST; one is made where none is given. Give your own where the same request may be made
   * again after a restart, within 24 hours: then
   * it expires. Whatever may wait longer needs an `id` in its body, which never does.
   */
  idempotencyKey?: string;
  /** The ETag of the version that a PATCH is meant for. */
  ifMatch?: string;
  /**
   * The ETag of the answer that is there already: an unchanged one comes as status 304, without
   * data.
   */
  ifNoneMatch?: string;
}

export type RequestOf<O> = QueryOption<O> & PathOption<O> & BodyOption<O> & RequestManner;

type ResponseOf<O> = O extends { responses: infer R } ? R[keyof R & (200 | 201)] : never;
type ContentOf<R> = R extends { content: infer C } ? C : never;

/**
 * The JSON that an operation answers with; undefined where it answers with nothing, never where it
 * answers otherwise.
 */
export type JsonOf<O> = [ResponseOf<O>] extends [never]
  ? undefined
  : ContentOf<ResponseOf<O>> extends { 'application/json': infer J }
    ? J
    : never;

/** The lists that come in pages. */
export type PagedPath = {
  [P in PathsOf<'get'>]: JsonOf<Operation<P, 'get'>> extends { items: unknown[]; next: string | null }
    ? P
    : never;
}[PathsOf<'get'>];

export type ItemOf<P extends PagedPath> =
  JsonOf<Operation<P, 'get'>> extends { items: (infer I)[] } ? I : never;
