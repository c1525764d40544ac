import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiExtraModels, ApiOkResponse, ApiOperation, ApiTags, getSchemaPath } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { languageOfRequest } from '../../platform/presenting/language-of-request.js';
import { present } from '../../platform/presenting/present.js';
import { unitsOfRequest } from '../../platform/presenting/presenter.interceptor.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { formatWanted } from '../job-cards/page/card-format.js';
import { PAGE_HEADERS } from '../job-cards/page/card-style.js';
import { PickListQuery, PickListView } from './pick-list.dto.js';
import { pickListPage } from './pick-list-page.js';
import { PickListService } from './pick-list.service.js';

@ApiTags('visits')
@ApiExtraModels(PickListView)
@Controller('v1/pick-list')
export class PickListController {
  constructor(private readonly lists: PickListService) {}

  @Get()
  @ApiOperation({
    summary: "Make the pick list of a depot's day: parts, coolant and tools for its visits",
    description:
      'As JSON, or as printable pages: by the Accept header, or by `format`. A header that accepts neither is answered with 406. Visits that are done are left out.',
  })
  @ApiOkResponse({
    description: 'The list',
    content: {
      'application/json': { schema: { $ref: getSchemaPath(PickListView) } },
      'text/html': { schema: { type: 'string' } },
    },
  })
  async of(
    @Query() { depotId, on, format }: PickListQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PickListView | string> {
    void reply.header('vary', 'Accept');
    const wanted = formatWanted(format, request.headers.accept);
    const units = unitsOfRequest(request);
    const list = await this.lists.of(depotId, on, units);
    if (wanted === 'json') return list;
    const language = languageOfRequest(request);
    void reply.headers(PAGE_HEADERS);
    return pickListPage(present(list, { language, units }) as PickListView, language, fleetScope().timeZone);
  }
}
