import { Logger } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { sayLanguage } from '../../platform/http/answer-language.js';
import { problemOf } from '../../platform/http/problem.filter.js';
import { languageAskedFor } from '../../platform/presenting/language-of-request.js';
import { matchedPathOf } from '../../platform/routing/request-path.js';
import { isLanguage, type Language } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';
import { faultPage } from './follow-page.js';
import { PAGE_HEADERS } from './page-style.js';

/** Who asks for a page: the language that was chosen, or that the browser asks for. */
export interface PageReader {
  /** Null when neither says. */
  language: Language | null;
  ip: string;
  query: Readonly<Record<string, unknown>>;
}

/** A page, or where to go on. */
export interface PageAnswer {
  status: number;
  /** Null for a redirect. */
  page: string | null;
  language: Language;
  location?: string;
  /** Whether going back shows the same form again, so that it counts once. */
  isForm?: boolean;
}

const logger = new Logger('labels');

/** Answers with a page, also when something is wrong. */
export async function answerTo(
  request: FastifyRequest,
  reply: FastifyReply,
  work: (reader: PageReader) => Promise<PageAnswer>,
): Promise<void> {
  const query = request.query as Record<string, unknown>;
  const chosen = isLanguage(query['lang']) ? query['lang'] : null;
  const language = chosen ?? languageAskedFor(request.headers['accept-language']);
  let answer: PageAnswer;
  try {
    answer = await work({ language, ip: request.ip, query });
  } catch (error) {
    answer = faultOf(error, request, reply, language ?? 'en');
  }
  sayLanguage(reply, answer.language);
  void reply.headers(PAGE_HEADERS).status(answer.status);
  if (answer.isForm) void reply.header('cache-control', 'private, no-cache');
  if (answer.location !== undefined) void reply.header('location', answer.location);
  await reply.send(answer.page ?? '');
}

function faultOf(
  error: unknown,
  request: FastifyRequest,
  reply: FastifyReply,
  language: Language,
): PageAnswer {
  const { status, detail, headers } = problemOf(error);
  if (status >= 500) {
    const cause = error instanceof Error ? error.stack : String(error);
    // The path holds the code of the label, so it is not logged.
    logger.error({ requestId: request.id, method: request.method, status, msg: cause });
  }
  void reply.headers(headers);
  const why = textOf(detail, { language, units: null });
  return { status, language, page: faultPage({ language, path: matchedPathOf(request) }, why) };
}
