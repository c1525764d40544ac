import { Controller, Get, Param, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags, getSchemaPath } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { readerOf } from '../../platform/presenting/reader-of-request.js';
import { wantsHtml } from '../../platform/presenting/wants-html.js';
import { explained } from '../../platform/problems/explained.js';
import { isProblemSlug, PROBLEM_KINDS, type ProblemSlug } from '../../platform/problems/problem-kinds.js';
import { Problem } from '../../platform/problems/problem.js';
import { titleOf } from '../../platform/problems/titles.js';
import { type Reader, textOf } from '../../platform/words/render.js';
import { message } from './messages.js';
import { ProblemExplanation } from './problem-explanation.dto.js';
import { PAGE_POLICY, problemPage } from './problem-page.js';

const HEADERS = { 'cache-control': 'public, max-age=300', vary: 'Accept' } as const;
const PAGE_HEADERS = {
  'content-type': 'text/html; charset=utf-8',
  'content-security-policy': PAGE_POLICY,
} as const;

/** Explains the `type` of every problem that the service returns. */
@ApiTags('problems')
@Controller('problems')
export class ProblemsController {
  @Get(':slug')
  @ApiOperation({
    summary: 'What a kind of problem means, and what to do',
    description:
      'The `type` of every problem is the address of its explanation. A page for browsers, JSON for others, by the Accept header; in the language of the Accept-Language header.',
  })
  @ApiOkResponse({
    description: 'The explanation',
    content: {
      'application/json': { schema: { $ref: getSchemaPath(ProblemExplanation) } },
      'text/html': { schema: { type: 'string' } },
    },
  })
  explain(
    @Param('slug') slug: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): ProblemExplanation | string {
    if (!isProblemSlug(slug)) throw new Problem(404, 'no-such-problem', message('problem-page-unknown'));
    const reader = readerOf(request);
    const explanation = explanationOf(slug, reader);
    void reply.headers(HEADERS);
    if (!wantsHtml(request.headers.accept)) return explanation;
    void reply.headers(PAGE_HEADERS);
    return problemPage(explanation, reader);
  }
}

function explanationOf(slug: ProblemSlug, reader: Reader): ProblemExplanation {
  const statuses = [...PROBLEM_KINDS[slug]];
  const { meaning, remedy } = explained(slug);
  return {
    type: `/problems/${slug}`,
    title: textOf(titleOf(statuses[0] ?? 500, slug), reader),
    statuses,
    meaning: textOf(meaning, reader),
    remedy: textOf(remedy, reader),
  };
}
