import type { FastifyRequest } from 'fastify';
import { isJwt } from './jwt.js';
import { hashSecret } from './secrets-of-sign-in.js';
import { hasSession, sessionSecret } from './session-cookie.js';
import { hashToken, isToken } from './token.js';

/**
 * The only route that accepts a token in its address: calendar programs can send an address but no
 * header.
 */
const CALENDAR_FEED = '/v1/due-list.ics';

/** A well-formed token or session that has not been looked up yet. */
export interface Bearer {
  text: string;
  kind: 'token' | 'sign-in' | 'session';
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

/** Whether only a session's cookie says who a request is from. */
export function reliesOnSession(request: FastifyRequest): boolean {
  return (
    tokenInAddress(request) === undefined &&
    request.headers.authorization === undefined &&
    hasSession(request)
  );
}

/**
 * The token of a request, or else its session; null when it is missing or malformed. A token goes
 * before a cookie, which a browser may add by itself.
 *
 * @param takesSignIns whether JSON Web Tokens of a provider are accepted besides our own tokens
 */
export function bearerOf(request: FastifyRequest, takesSignIns: boolean): Bearer | null {
  const inAddress = tokenInAddress(request);
  const text =
    inAddress === undefined
      ? /^Bearer (\S+)$/i.exec(request.headers.authorization ?? '')?.[1]
      : typeof inAddress === 'string' && inAddress;
  if (reliesOnSession(request)) return sessionOf(request);
  if (!text) return null;
  const isSignIn = inAddress === undefined && takesSignIns && isJwt(text);
  if (!isToken(text) && !isSignIn) return null;
  const hash = hashToken(text);
  const place = inAddress === undefined ? 'header' : 'address';
  return { text, kind: isSignIn ? 'sign-in' : 'token', hash, key: `${place} ${hash.toString('base64url')}` };
}

function sessionOf(request: FastifyRequest): Bearer | null {
  const text = sessionSecret(request);
  if (text === null) return null;
  const hash = hashSecret(text);
  return { text, kind: 'session', hash, key: `cookie ${hash.toString('base64url')}` };
}
