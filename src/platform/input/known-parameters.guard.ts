import { type CanActivate, type ExecutionContext, Injectable } from '@nestjs/common';
import { ROUTE_ARGS_METADATA } from '@nestjs/common/constants.js';
import { RouteParamtypes } from '@nestjs/common/enums/route-paramtypes.enum.js';
import type { FastifyRequest } from 'fastify';
import { isPublicPage } from '../routing/public-routes.js';
import { badQuery } from '../problems/problem.js';
import { message } from './messages.js';

/** Whether a handler reads the query. Its query class then refuses unknown parameters. */
function readsQuery(context: ExecutionContext): boolean {
  const parameters = (Reflect.getMetadata(
    ROUTE_ARGS_METADATA,
    context.getClass(),
    context.getHandler().name,
  ) ?? {}) as Record<string, unknown>;
  return Object.keys(parameters).some((key) => key.startsWith(`${RouteParamtypes.QUERY}:`));
}

/**
 * Refuses query parameters on routes that read none. Otherwise, a change sent with `dryRun=true` to
 * a route that does not support it would really be made.
 */
@Injectable()
export class KnownParametersGuard implements CanActivate {
  canActivate(context: ExecutionContext): boolean {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    if (isPublicPage(request) || readsQuery(context)) return true;
    // `units` is allowed on every request.
    const unknown = Object.keys(request.query as object).find((name) => name !== 'units');
    if (unknown !== undefined) throw badQuery(unknown, message('parameter-unknown'));
    return true;
  }
}
