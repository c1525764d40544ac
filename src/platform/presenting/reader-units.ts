import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { unitsOfRequest } from './presenter.interceptor.js';

/**
 * The units of the answer, for answers that name a unit once for many numbers. All other answers
 * leave units to the presenter.
 */
export const ReaderUnits = createParamDecorator((_nothing: unknown, context: ExecutionContext) =>
  unitsOfRequest(context.switchToHttp().getRequest<FastifyRequest>()),
);
