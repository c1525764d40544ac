import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { unitsOfRequest } from './presenter.interceptor.js';

/**
 * The units in which the answer will be read, for answers that name a unit once for many numbers.
 * Everything else is left to the presenter.
 */
export const ReaderUnits = createParamDecorator((_nothing: unknown, context: ExecutionContext) =>
  unitsOfRequest(context.switchToHttp().getRequest<FastifyRequest>()),
);
