import { Logger } from '@nestjs/common';
import type { FastifyInstance } from 'fastify';
import { loggedPathOf } from '../routing/request-path.js';
import { withLogFields } from './log.js';
import type { Metrics } from './metrics.js';

const logger = new Logger('http');

/**
 * Times every request by the pattern of its route (a path with its ids would make a series of every
 * vehicle), and has all log lines of a request carry its id. What was answered is a line at level
 * `debug`.
 */
export function registerRequestRecords(fastify: FastifyInstance, metrics: Metrics, logLevel: string): void {
  const isTold = logLevel === 'debug' || logLevel === 'trace';
  // After the body has been read: reading it would lose the context.
  fastify.addHook('preHandler', (request, _reply, done) => withLogFields({ requestId: request.id }, done));
  fastify.addHook('onResponse', (request, reply, done) => {
    const { method, id: requestId } = request;
    const route = request.is404 ? 'none' : (request.routeOptions.url ?? 'none');
    metrics.observe(method, route, reply.statusCode, reply.elapsedTime / 1000);
    // Most services say nothing of it, and need not make it up.
    if (isTold)
      logger.debug({
        ...{ requestId, method, path: loggedPathOf(request), status: reply.statusCode },
        ...{ durationMs: Math.round(reply.elapsedTime), msg: 'answered' },
      });
    done();
  });
}
