import { Logger } from '@nestjs/common';
import type { FastifyInstance } from 'fastify';
import { loggedPathOf } from '../routing/request-path.js';
import { withLogFields } from './log.js';
import type { Metrics } from './metrics.js';

const logger = new Logger('http');

/**
 * Times every request by its route pattern (a path with ids would make one series for every
 * vehicle), and puts the request's id on all its log lines. Each response is logged at level
 * `debug`.
 */
export function registerRequestRecords(fastify: FastifyInstance, metrics: Metrics, logLevel: string): void {
  const isTold = logLevel === 'debug' || logLevel === 'trace';
  // Only once the body has been read, because reading it would lose the context.
  fastify.addHook('preHandler', (request, _reply, done) => withLogFields({ requestId: request.id }, done));
  fastify.addHook('onResponse', (request, reply, done) => {
    const { method, id: requestId } = request;
    const route = request.is404 ? 'none' : (request.routeOptions.url ?? 'none');
    metrics.observe(method, route, reply.statusCode, reply.elapsedTime / 1000);
    // Most services do not log it, so do not build the line for nothing.
    if (isTold)
      logger.debug({
        ...{ requestId, method, path: loggedPathOf(request), status: reply.statusCode },
        ...{ durationMs: Math.round(reply.elapsedTime), msg: 'answered' },
      });
    done();
  });
}
