import type { FastifyInstance } from 'fastify';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

interface KnownRoute {
  method: string;
  url: string;
  pattern: RegExp;
}

const KNOWN = Symbol('known routes');

function patternOf(url: string): RegExp {
  const source = url
    .split('/')
    .map((part) => (part.startsWith(':') ? '[^/]+' : part.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&')))
    .join('/');
  return new RegExp(`^${source}$`);
}

/** Settings that a route can put into its config. */
interface RouteConfig {
  bodyLimit?: number;
}

/**
 * Records every route, to tell a wrong method from a path that does not exist. Also lets a route
 * set its own body limit, for which Nest has no decorator.
 */
export function registerRoutes(fastify: FastifyInstance): void {
  const routes: KnownRoute[] = [];
  fastify.decorate(KNOWN, routes);
  fastify.addHook('onRoute', (route) => {
    const { bodyLimit } = (route.config ?? {}) as RouteConfig;
    if (bodyLimit) route.bodyLimit = bodyLimit;
    for (const method of [route.method].flat())
      routes.push({ method, url: route.url, pattern: patternOf(route.url) });
  });
}

/** Returns every route with its method and pattern. */
export function routesOf(fastify: object): readonly { method: string; url: string }[] {
  return (fastify as { [KNOWN]?: KnownRoute[] })[KNOWN] ?? [];
}

/**
 * Returns the problem for a request that matched no route: 405 with `Allow` when the path exists,
 * otherwise 404.
 */
export function unroutedProblem(fastify: object, path: string): Problem {
  const methods = ((fastify as { [KNOWN]?: KnownRoute[] })[KNOWN] ?? [])
    .filter(({ pattern }) => pattern.test(path))
    .map(({ method }) => method);
  const allow = [...new Set(methods)].filter((method) => method !== 'HEAD' && method !== 'OPTIONS').sort();
  if (allow.length === 0) return new Problem(404, 'no-such-path', message('no-such-path'));
  return new Problem(405, 'method-not-allowed', message('method-not-allowed', { allow }), [], {
    allow: allow.join(', '),
  });
}
