import type { FastifyRequest } from 'fastify';

/**
 * Patterns of all routes that answer without a token; `/*` covers all routes below. Any other route
 * rejects a request without a valid token.
 */
const PUBLIC_ROUTES = [
  ...['/', '/problems/:slug'],
  ...['/health/live', '/health/ready'],
  ...['/openapi.json', '/docs', '/docs/*'],
  ...['/desk', '/desk/*', '/phone', '/phone/*', '/sign-in', '/sign-in/*', '/pages/*'],
  // Whoever asks is not signed in yet.
  '/v1/sign-in-ways',
  // The code in the path says which vehicle it is about.
  ...['/l/:code', '/l/:code/:report'],
];

/** Public for this method only: the same path is also that of a list. */
const PUBLIC_POSTS = ['/v1/sessions'];

/**
 * @param pattern the route's pattern, not a request's path: one path can be spelled in many ways
 */
export function isPublicRoute(method: string, pattern: string): boolean {
  if (method === 'POST' && PUBLIC_POSTS.includes(pattern)) return true;
  return PUBLIC_ROUTES.some((route) =>
    route.endsWith('/*') ? pattern.startsWith(route.slice(0, -1)) : pattern === route,
  );
}

/** Whether the route that the router matched is public. */
export function isPublic(request: FastifyRequest): boolean {
  return isPublicRoute(request.method, request.routeOptions.url ?? '');
}

/** Whether the route is a page or a file that anybody may see, whose address may say anything more. */
export function isPublicPage(request: FastifyRequest): boolean {
  return isPublic(request) && !(request.routeOptions.url ?? '').startsWith('/v1/');
}
