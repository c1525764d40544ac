import type { FastifyRequest } from 'fastify';
import { isJwt } from './jwt.js';
import { hashToken, isToken } from './token.js';

/**
 * The only route that accepts a token in its address: calendar programs can send an address but no
 * header.
 */
const CALENDAR_FEED = '/v1/due-list.ics';

/** A well-formed token that has not been looked up yet. */
export interface Bearer {
  text: string;
  kind: 'token' | 'sign-in';
  hash: Buffer;
  /**
   * The token's hash and the place it was sent in. A token that is refused in an address may still
   * be good in a header.
   */
  key: string;
}

export function isCalendarFeed(request: FastifyRequest): boolean {
  return request.routeOptions.url === CALENDAR_FEED;
}

/**
 * Whether the `Authorization` header was sent more than once. Node keeps the first value; a proxy
 * in front may have checked another one.
 */
export function repeatsAuthorization({ raw }: FastifyRequest): boolean {
  // The list holds names and values in turn.
  const isName = (text: string, at: number): boolean =>
    at % 2 === 0 && text.length === 'authorization'.length && text.toLowerCase() === 'authorization';
  return raw.rawHeaders.filter(isName).length > 1;
}

/** The token in the address. Undefined when there is none, or when the route accepts none there. */
export function tokenInAddress(request: FastifyRequest): unknown {
  return isCalendarFeed(request) ? (request.query as { token?: unknown }).token : undefined;
}

/**
 * The token of a request; null when it is missing or malformed.
 *
 * @param takesSignIns whether JSON Web Tokens of a provider are accepted besides our own tokens
 */
export function bearerOf(request: FastifyRequest, takesSignIns: boolean): Bearer | null {
  const inAddress = tokenInAddress(request);
  const text =
    inAddress === undefined
      ? /^Bearer (\S+)$/i.exec(request.headers.authorization ?? '')?.[1]
      : typeof inAddress === 'string' && inAddress;
  if (!text) return null;
  const isSignIn = inAddress === undefined && takesSignIns && isJwt(text);
  if (!isToken(text) && !isSignIn) return null;
  const hash = hashToken(text);
  const place = inAddress === undefined ? 'header' : 'address';
  return { text, kind: isSignIn ? 'sign-in' : 'token', hash, key: `${place} ${hash.toString('base64url')}` };
}
