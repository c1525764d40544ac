import { readerOf } from '../presenting/reader-of-request.js';
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
import { ImpossibleValue } from '../../domain/impossible-value.js';
import { isDatabaseAway } from '../database/away.js';
import { tooBusy } from '../database/write-places.js';
import { constraintProblem } from '../problems/constraint-problems.js';
import { Problem } from '../problems/problem.js';
import { rangeProblem } from '../problems/range-problem.js';
import { loggedPathOf, pathOf } from '../routing/request-path.js';
import { unroutedProblem } from '../routing/routes.js';

const logger = new Logger('http');

/** The error of PostgreSQL when a lock was waited for until `lock_timeout`. */
const LOCK_NOT_AVAILABLE = '55P03';

/** What is refused before a handler sees it, by status. */
const REFUSED: Record<number, [slug: string, detail: string]> = {
  413: ['body-too-large', 'The body is larger than this path takes. Send it in several parts.'],
  414: ['address-too-long', 'A part of the path is longer than any id.'],
  415: ['media-type', 'This path takes application/json.'],
};

/** Turns whatever was thrown into the problem to answer with. */
export function problemOf(error: unknown): Problem {
  if (error instanceof Problem) return error;
  if (error instanceof ImpossibleValue) return rangeProblem(error, {});
  if (isDatabaseAway(error)) {
    return new Problem(
      503,
      'database-away',
      'The database cannot be reached at the moment; try again. What was being stored just then may have been: sent again under the same Idempotency-Key or id, it is stored once.',
      [],
      { 'retry-after': '5' },
    );
  }
  if (error instanceof QueryFailedError) {
    if ((error.driverError as { code?: string }).code === LOCK_NOT_AVAILABLE)
      return tooBusy(
        'Another change, such as a spreadsheet import, kept this record locked for too long.',
        {},
        'The record is busy',
      );
    const problem = constraintProblem(error);
    if (problem) return problem;
  }
  // Nest makes exceptions of its own out of what Fastify refuses, and keeps no more of it than the
  // status.
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
  // An impossible value that got here has no place in the body yet: the service that called the
  // rule has to give it one.
  if (problem.status >= 500 || error instanceof ImpossibleValue) {
    const cause = error instanceof Error ? error.stack : String(error);
    const { id: requestId, method } = request;
    logger.error({ requestId, method, path: loggedPathOf(request), status: problem.status, msg: cause });
  }
  void reply
    .status(problem.status)
    .headers({
      ...problem.headers,
      'content-type': 'application/problem+json; charset=utf-8',
      'cache-control': 'no-store',
    })
    .send(JSON.stringify({ ...problem.toBody(pathOf(request), readerOf(request)), requestId: request.id }));
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
