import { type CallHandler, type ExecutionContext, Injectable, type NestInterceptor } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { map, type Observable } from 'rxjs';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { isPublic, isPublicPage } from '../routing/public-routes.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { present } from './present.js';
import { languageOfRequest } from './language-of-request.js';
import { badQuery } from '../problems/problem.js';
import { message } from './messages.js';

/** The config of a route whose answer is already in the reader's units. */
export const IN_READERS_UNITS = { inReadersUnits: true } as const;

/** The units that a request asks for with `?units=`, else the fleet's. */
export function unitsOfRequest(request: FastifyRequest): UnitSystem {
  return unitsAskedFor(request) ?? fleetScope().units;
}

/** @throws Problem 400 when there are no such units */
function unitsAskedFor(request: FastifyRequest): UnitSystem | undefined {
  const { units } = request.query as { units?: unknown };
  if (units === undefined || units === 'us' || units === 'si') return units;
  throw badQuery('units', message('units-not-known'));
}

/**
 * Converts every answer to the reader's units and language, so that services need not know them.
 */
@Injectable()
export class Presenter implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler): Observable<unknown> {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    if (isPublic(request)) {
      // Whoever is not signed in has no fleet, whose units an answer could be in.
      if (!isPublicPage(request)) unitsAskedFor(request);
      return next.handle();
    }
    const units = unitsOfRequest(request);
    if ((request.routeOptions.config as Partial<typeof IN_READERS_UNITS>).inReadersUnits)
      return next.handle();
    return next
      .handle()
      .pipe(
        map((answer) =>
          typeof answer === 'string' || Buffer.isBuffer(answer)
            ? answer
            : present(answer, { language: languageOfRequest(request), units }),
        ),
      );
  }
}
