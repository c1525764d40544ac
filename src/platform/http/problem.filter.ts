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
import { recordBusy } from '../database/write-places.js';
import { constraintProblem } from '../problems/constraint-problems.js';
import { Problem } from '../problems/problem.js';
import { rangeProblem } from '../problems/range-problem.js';
import { loggedPathOf, pathOf } from '../routing/request-path.js';
import { unroutedProblem } from '../routing/routes.js';
import type { Message } from '../../domain/message.js';
import type { ProblemSlug } from '../problems/problem-kinds.js';
import { message } from './messages.js';
import { jsonNeeded } from '../input/json-body.js';
import { languageOfRequest } from '../presenting/language-of-request.js';
import { sayLanguage } from './answer-language.js';
import { SAFETY_HEADERS } from './web-safety.js';

const logger = new Logger('http');

/** PostgreSQL's error when a lock was not available within `lock_timeout`. */
const LOCK_NOT_AVAILABLE = '55P03';

/** Problems for requests that are refused before a handler sees them, by status. */
const REFUSED: Readonly<Record<number, [slug: ProblemSlug, detail: Message]>> = {
  413: ['body-too-large', message('body-larger-than-path')],
  414: ['address-too-long', message('address-too-long')],
  415: ['media-type', jsonNeeded()],
};

/** The error of Fastify for a path that is not valid percent-encoding. */
const BAD_PATH = 'FST_ERR_BAD_URL';

/** Turns any thrown error into the problem to answer with. */
export function problemOf(error: unknown): Problem {
  if (error instanceof Problem) return error;
  if (error instanceof ImpossibleValue) return rangeProblem(error, {});
  if (isDatabaseAway(error)) {
    return new Problem(503, 'database-away', message('database-away'), [], { 'retry-after': '5' });
  }
  if ((error as { code?: unknown } | null)?.code === BAD_PATH)
    return new Problem(400, 'request-refused', message('path-not-decodable'));
  if (error instanceof QueryFailedError) {
    if ((error.driverError as { code?: string }).code === LOCK_NOT_AVAILABLE) return recordBusy();
    const problem = constraintProblem(error);
    if (problem) return problem;
  }
  // Nest turns Fastify's errors into exceptions of its own and keeps only their status.
  const status =
    error instanceof HttpException ? error.getStatus() : (error as { statusCode?: unknown })?.statusCode;
  if (typeof status === 'number' && status >= 400 && status < 500) {
    const reason = (error as Error).message;
    const [slug, detail] = REFUSED[status] ?? ['request-refused', message('request-refused', { reason })];
    return new Problem(status, slug, detail);
  }
  return new Problem(500, 'internal', message('internal-error'));
}

/** Answers an error as RFC 9457 problem details. */
export function sendProblem(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
  const problem = problemOf(error);
  // An impossible value that gets this far has no pointer into the body. Log it: the service that
  // called the domain should have given it one.
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

/**
 * Answers a path that no route can be looked up by, such as one that cannot be decoded. The hooks
 * do not run for it, so what they put on every answer is put on this one here.
 */
export function refuseAddress(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
  void reply.headers(SAFETY_HEADERS);
  sayLanguage(reply, languageOfRequest(request));
  sendProblem(error, request, reply);
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
    // Our services throw problems. A NotFoundException comes from Nest itself, when no route
    // matched.
    const cause =
      error instanceof NotFoundException ? unroutedProblem(request.server, pathOf(request)) : error;
    sendProblem(cause, request, reply);
  }
}
