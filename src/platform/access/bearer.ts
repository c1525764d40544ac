import type { FastifyRequest } from 'fastify';
import { isJwt } from './jwt.js';
import { hashToken, isToken } from './token.js';

/**
 * The one route that takes a token in its address: whoever subscribes to a calendar can give an
 * address and no header.
 */
const CALENDAR_FEED = '/v1/due-list.ics';

/** A token as it was sent: well-formed, and not looked up yet. */
export interface Bearer {
  text: string;
  kind: 'token' | 'sign-in';
  hash: Buffer;
  /**
   * The token and where it was sent: one that may not be in an address may still be good in a
   * header.
   */
  key: string;
}

export function isCalendarFeed(request: FastifyRequest): boolean {
  return request.routeOptions.url === CALENDAR_FEED;
}

/**
 * Whether the header came more than once. Node keeps the first; a proxy in front may have looked at
 * another one.
 */
export function repeatsAuthorization({ raw }: FastifyRequest): boolean {
  // Names and values in turn.
  const isName = (text: string, at: number): boolean =>
    at % 2 === 0 && text.length === 'authorization'.length && text.toLowerCase() === 'authorization';
  return raw.rawHeaders.filter(isName).length > 1;
}

/** What the address holds as a token; undefined where it holds none, or may not. */
export function tokenInAddress(request: FastifyRequest): unknown {
  return isCalendarFeed(request) ? (request.query as { token?: unknown }).token : undefined;
}

/**
 * The token of a request; null when there is none or it is malformed.
 *
 * @param takesSignIns whether JSON Web Tokens of a provider are taken beside tokens of this service
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
