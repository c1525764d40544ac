import type { FastifyReply, FastifyRequest } from 'fastify';
import { isSignInSecret } from './secrets-of-sign-in.js';

/**
 * Over https, browsers take a cookie of this name only from this host, only for all its paths, and
 * only over https (RFC 6265bis, 4.1.3.2). So no neighbouring host can plant one.
 */
const SECURE_NAME = '__Host-weephole';
const PLAIN_NAME = 'weephole';

/** Longer than a session lasts without use: the database decides when it has ended. */
const MAX_AGE_SECONDS = 90 * 86_400;

/** The values of the cookies of this name. Names are compared exactly. */
function valuesOf(request: FastifyRequest, name: string): string[] {
  const header = request.headers.cookie ?? '';
  return header.split(';').flatMap((pair) => {
    const at = pair.indexOf('=');
    return at > 0 && pair.slice(0, at).trim() === name ? [pair.slice(at + 1).trim()] : [];
  });
}

/**
 * Whether the browser is on https: by the connection, by what a trusted proxy says, or by the
 * origin of the page that sends the request.
 */
function isSecure(request: FastifyRequest): boolean {
  return request.protocol === 'https' || (request.headers.origin ?? '').startsWith('https://');
}

/** The session cookies of a request. Over https, only the protected one counts. */
function sessionCookies(request: FastifyRequest): string[] {
  const secure = valuesOf(request, SECURE_NAME);
  return secure.length > 0 || isSecure(request) ? secure : valuesOf(request, PLAIN_NAME);
}

/** Whether there are several session cookies: one of them was planted, and nobody can say which. */
export function repeatsSession(request: FastifyRequest): boolean {
  return sessionCookies(request).length > 1;
}

/** Whether the request has a session cookie, well-formed or not. */
export function hasSession(request: FastifyRequest): boolean {
  return sessionCookies(request).length > 0;
}

/** The secret in the session cookie; null when there is none, or not exactly one, or none of ours. */
export function sessionSecret(request: FastifyRequest): string | null {
  const [secret, ...more] = sessionCookies(request);
  return secret !== undefined && more.length === 0 && isSignInSecret('session', secret) ? secret : null;
}

function cookieText(request: FastifyRequest, value: string, maxAge: number): string {
  const secure = isSecure(request);
  const name = secure ? SECURE_NAME : PLAIN_NAME;
  return `${name}=${value}; Path=/; Max-Age=${maxAge}; HttpOnly; SameSite=Lax${secure ? '; Secure' : ''}`;
}

/** Hands the session to the browser. Scripts cannot read it, and other sites cannot use it. */
export function giveSession(request: FastifyRequest, reply: FastifyReply, secret: string): void {
  void reply.header('set-cookie', cookieText(request, secret, MAX_AGE_SECONDS));
}

export function dropSession(request: FastifyRequest, reply: FastifyReply): void {
  void reply.header('set-cookie', cookieText(request, '', 0));
}
