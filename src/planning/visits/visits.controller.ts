import { Body, Controller, HttpCode, Post, Query, Req } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyRequest } from 'fastify';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { readerOf } from '../../platform/presenting/reader-of-request.js';
import { ListRoute, ReadRoute } from '../../platform/resources/resource-routes.js';
import { AssigningService } from './assigning.service.js';
import {
  AssignInput,
  AssignManyInput,
  CancelInput,
  ManyVisitsResult,
  VisitPage,
  VisitsQuery,
  VisitView,
} from './visit.dto.js';
import { VisitsService } from './visits.service.js';

@ApiTags('visits')
@Controller('v1/visits')
export class VisitsController {
  constructor(
    private readonly visits: VisitsService,
    private readonly assigning: AssigningService,
  ) {}

  @ListRoute('List the confirmed visits, by day', VisitPage)
  list(@Query() query: VisitsQuery): Promise<Page<VisitView>> {
    return this.visits.list(query);
  }

  @ReadRoute('Read a visit, with the state of each of its lines', VisitView)
  get(@IdParam('visit') id: string): Promise<VisitView> {
    return this.visits.get(id);
  }

  @Post('assign')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Assign up to 200 visits to a person, each answered by itself' })
  @ApiOkResponse({ type: ManyVisitsResult })
  assignMany(@Body() input: AssignManyInput, @Req() request: FastifyRequest): Promise<ManyVisitsResult> {
    return this.assigning.assignMany(input, readerOf(request));
  }

  @Post(':id/assign')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Assign a visit to a person, or to nobody any more' })
  @ApiOkResponse({ type: VisitView })
  assign(@IdParam('visit') id: string, @Body() input: AssignInput): Promise<VisitView> {
    return this.assigning.assign(id, input);
  }

  @Post(':id/cancel')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Cancel a visit; its lines can be planned again' })
  @ApiOkResponse({ type: VisitView })
  cancel(@IdParam('visit') id: string, @Body() { reason }: CancelInput): Promise<VisitView> {
    return this.visits.cancel(id, reason.trim());
  }
}
