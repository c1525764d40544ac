import { Logger } from '@nestjs/common';
import type { FastifyInstance } from 'fastify';
import type { TrustedProxies } from '../config/access-settings.js';

const FORWARDED = ['x-forwarded-for', 'forwarded', 'x-real-ip'] as const;

/**
 * Warns once when a request seems to come through a proxy that the settings do not name. All
 * clients behind that proxy count as one address.
 */
export function warnOfUntrustedProxy(fastify: FastifyInstance, trustedProxies: TrustedProxies): void {
  if (trustedProxies !== false) return;
  let isTold = false;
  fastify.addHook('onRequest', (request, _reply, done) => {
    const header = isTold ? undefined : FORWARDED.find((name) => request.headers[name] !== undefined);
    if (header !== undefined) {
      isTold = true;
      new Logger('limits').warn(
        `a request came with the header ${header}, and TRUST_PROXY is false: if a reverse proxy is in front, set TRUST_PROXY, or all clients behind it are limited as one address`,
      );
    }
    done();
  });
}
