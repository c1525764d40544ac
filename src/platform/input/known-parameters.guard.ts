import { type CanActivate, type ExecutionContext, Injectable } from '@nestjs/common';
import { ROUTE_ARGS_METADATA } from '@nestjs/common/constants.js';
import { RouteParamtypes } from '@nestjs/common/enums/route-paramtypes.enum.js';
import type { FastifyRequest } from 'fastify';
import { isPublic } from '../routing/public-routes.js';
import { badQuery } from '../problems/problem.js';
import { message } from './messages.js';

/** Whether a handler reads the query; what it then does not know, its class refuses. */
function readsQuery(context: ExecutionContext): boolean {
  const parameters = (Reflect.getMetadata(
    ROUTE_ARGS_METADATA,
    context.getClass(),
    context.getHandler().name,
  ) ?? {}) as Record<string, unknown>;
  return Object.keys(parameters).some((key) => key.startsWith(`${RouteParamtypes.QUERY}:`));
}

/**
 * Refuses query parameters where none are read: a change sent with `dryRun=true` to a path that
 * knows no such thing would be made in earnest.
 */
@Injectable()
export class KnownParametersGuard implements CanActivate {
  canActivate(context: ExecutionContext): boolean {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    if (isPublic(request) || readsQuery(context)) return true;
    // Any answer can be asked for in other units.
    const unknown = Object.keys(request.query as object).find((name) => name !== 'units');
    if (unknown !== undefined) throw badQuery(unknown, message('parameter-unknown'));
    return true;
  }
}
