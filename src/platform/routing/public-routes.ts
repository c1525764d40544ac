import type { FastifyRequest } from 'fastify';

/**
 * Every route that answers without a token, by its pattern; `/*` stands for all routes beneath. A
 * route that is not listed here is closed to whoever brings no valid token.
 */
const PUBLIC_ROUTES = [
  ...['/', '/problems/:slug'],
  ...['/health/live', '/health/ready'],
  ...['/openapi.json', '/docs', '/docs/*'],
  ...['/board', '/board/*'],
];

/**
 * @param pattern the route's pattern, not the path of a request: a path can be written in many ways
 */
export function isPublicRoute(pattern: string): boolean {
  return PUBLIC_ROUTES.some((route) =>
    route.endsWith('/*') ? pattern.startsWith(route.slice(0, -1)) : pattern === route,
  );
}

/** Whether the route that the router matched is one that anybody may call. */
export function isPublic(request: FastifyRequest): boolean {
  return isPublicRoute(request.routeOptions.url ?? '');
}
