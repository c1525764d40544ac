import { Body, Controller, HttpCode, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { ListRoute, ReadRoute } from '../../platform/resources/resource-routes.js';
import { CancelInput, VisitPage, VisitsQuery, VisitView } from './visit.dto.js';
import { VisitsService } from './visits.service.js';

@ApiTags('visits')
@Controller('v1/visits')
export class VisitsController {
  constructor(private readonly visits: VisitsService) {}

  @ListRoute('List the confirmed visits, by day', VisitPage)
  list(@Query() query: VisitsQuery): Promise<Page<VisitView>> {
    return this.visits.list(query);
  }

  @ReadRoute('Read a visit, with the state of each of its lines', VisitView)
  get(@IdParam('visit') id: string): Promise<VisitView> {
    return this.visits.get(id);
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
