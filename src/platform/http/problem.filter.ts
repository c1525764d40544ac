import {
  type ArgumentsHost,
  Catch,
  type ExceptionFilter,
  HttpException,
  Logger,
  NotFoundException,
} from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { QueryFailedError } from 'typeorm';
import { constraintProblem } from './constraint-problems.js';
import { Problem } from './problem.js';
import { unroutedProblem } from './routes.js';

const logger = new Logger('http');

/** SQLSTATE classes and node error codes that say the database cannot be reached at the moment. */
const AWAY = /^(08...|57P0[123]|53300|ECONNREFUSED|ECONNRESET|EPIPE|ETIMEDOUT|ENOTFOUND)$/;

/** What is refused before a handler sees it, by status. */
const REFUSED: Record<number, [slug: string, detail: string]> = {
  413: ['body-too-large', 'The body is larger than this path takes. Send it in several parts.'],
  414: ['address-too-long', 'A part of the path is longer than any id.'],
  415: ['media-type', 'This path takes application/json.'],
};

function errorCode(error: unknown): string {
  if (typeof error !== 'object' || error === null) return '';
  const { code, driverError } = error as { code?: unknown; driverError?: { code?: unknown } };
  const known = driverError?.code ?? code;
  return typeof known === 'string' ? known : '';
}

export function isDatabaseAway(error: unknown): boolean {
  if (AWAY.test(errorCode(error))) return true;
  return (
    error instanceof Error &&
    /Connection terminated|timeout exceeded when trying to connect|Client has encountered a connection error/.test(
      error.message,
    )
  );
}

/** Turns whatever was thrown into the problem to answer with. */
export function problemOf(error: unknown): Problem {
  if (error instanceof Problem) return error;
  if (isDatabaseAway(error)) {
    return new Problem(
      503,
      'database-away',
      'The database cannot be reached at the moment. Nothing was stored; try again.',
      [],
      { 'retry-after': '5' },
    );
  }
  if (error instanceof QueryFailedError) {
    const problem = constraintProblem(error);
    if (problem) return problem;
  }
  // Nest makes exceptions of its own out of what Fastify refuses, and keeps no more of it than the status.
  const status =
    error instanceof HttpException ? error.getStatus() : (error as { statusCode?: unknown })?.statusCode;
  if (typeof status === 'number' && status >= 400 && status < 500) {
    const [slug, detail] = REFUSED[status] ?? ['request-refused', (error as Error).message];
    return new Problem(status, slug, detail);
  }
  return new Problem(500, 'internal', 'Something went wrong here; it has been logged under the request id.');
}

/** Answers every error as RFC 9457 problem details. */
export function sendProblem(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
  const problem = problemOf(error);
  if (problem.status >= 500) {
    const cause = error instanceof Error ? error.stack : String(error);
    logger.error(`${request.id} ${request.method} ${pathOf(request)}: ${cause}`);
  }
  void reply
    .status(problem.status)
    .headers({
      ...problem.headers,
      'content-type': 'application/problem+json; charset=utf-8',
      'cache-control': 'no-store',
    })
    .send(JSON.stringify({ ...problem.toBody(pathOf(request)), requestId: request.id }));
}

/** The path without its query, which may hold a token. */
export function pathOf(request: FastifyRequest): string {
  return request.url.split('?', 1)[0] ?? '/';
}

@Catch()
export class ProblemFilter implements ExceptionFilter {
  catch(error: unknown, host: ArgumentsHost): void {
    const http = host.switchToHttp();
    const reply = http.getResponse<FastifyReply>();
    if (reply.raw.headersSent) {
      reply.raw.destroy();
      return;
    }
    const request = http.getRequest<FastifyRequest>();
    // Services throw problems; Nest's own NotFoundException says that no route took the request.
    const cause =
      error instanceof NotFoundException ? unroutedProblem(request.server, pathOf(request)) : error;
    sendProblem(cause, request, reply);
  }
}
