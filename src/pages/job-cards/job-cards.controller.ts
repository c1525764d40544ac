import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiExtraModels, ApiOkResponse, ApiOperation, ApiTags, getSchemaPath } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { IdParam } from '../../platform/input/id-param.js';
import { languageOfRequest } from '../../platform/presenting/language-of-request.js';
import { present } from '../../platform/presenting/present.js';
import { unitsOfRequest } from '../../platform/presenting/presenter.interceptor.js';
import { formatWanted } from './page/card-format.js';
import { JobCardQuery, JobCardView } from './card/job-card.dto.js';
import { PAGE_HEADERS } from './page/card-style.js';
import { jobCardPage } from './page/job-card-page.js';
import { JobCardsService } from './job-cards.service.js';

@ApiTags('vehicles')
@ApiExtraModels(JobCardView)
@Controller('v1/vehicles')
export class JobCardsController {
  constructor(private readonly cards: JobCardsService) {}

  @Get(':id/job-card')
  @ApiOperation({
    summary: 'Make the job card of a vehicle: what a mechanic takes along',
    description:
      'As JSON, or as one printable page of A4 or US Letter: by the Accept header, or by `format`. A header that accepts neither is answered with 406.',
  })
  @ApiOkResponse({
    description: 'The card',
    content: {
      'application/json': { schema: { $ref: getSchemaPath(JobCardView) } },
      'text/html': { schema: { type: 'string' } },
    },
  })
  async draw(
    @IdParam('vehicle') id: string,
    @Query() { lines, workedAtDepotId, format }: JobCardQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<JobCardView | string> {
    void reply.header('vary', 'Accept');
    const wanted = formatWanted(format, request.headers.accept);
    const units = unitsOfRequest(request);
    const card = await this.cards.draw(id, { lines, workedAtDepotId, units });
    if (wanted === 'json') return card;
    const language = languageOfRequest(request);
    void reply.headers(PAGE_HEADERS);
    return jobCardPage(present(card, { language, units }) as JobCardView, language, fleetScope().timeZone);
  }
}
