import type { FastifyInstance } from 'fastify';
import type { RequestLimits } from '../limits/request-limits.js';
import { sendProblem } from '../http/problem.filter.js';

/** Where links and tokens are redeemed, without a token in the header. */
const REDEEMING = '/v1/sessions';

/** Limits how many refused codes and tokens one address may try to sign in with. */
export function registerSignInLimit(fastify: FastifyInstance, limits: RequestLimits): void {
  fastify.addHook('onRequest', (request, reply, done) => {
    if (request.method !== 'POST' || request.routeOptions.url !== REDEEMING) return done();
    try {
      limits.assertMaySignIn(request);
    } catch (error) {
      sendProblem(error, request, reply);
      return;
    }
    done();
  });
  // Counted before the answer goes out: whoever has an answer may try again at once.
  fastify.addHook('onSend', async (request, reply) => {
    if (request.method !== 'POST' || request.routeOptions.url !== REDEEMING) return;
    if (reply.statusCode === 401) await limits.countRefusedSignIn(request);
  });
}
