import { Body, Controller, Delete, HttpCode, Post, Query } from '@nestjs/common';
import {
  ApiAcceptedResponse,
  ApiNoContentResponse,
  ApiOkResponse,
  ApiOperation,
  ApiTags,
} from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
} from '../../platform/resources/resource-routes.js';
import { ConfirmingService } from './confirming.service.js';
import { PlannedVisitsService } from './planned-visits.service.js';
import {
  PlannedVisitInput,
  PlannedVisitView,
  VisitPlanInput,
  VisitPlanPage,
  type VisitPlanSummary,
  VisitPlanView,
} from './visit-plan.dto.js';
import { VisitPlansService } from './visit-plans.service.js';

@ApiTags('visits')
@Controller('v1/visit-plans')
@ManagerWork()
export class VisitPlansController {
  constructor(
    private readonly plans: VisitPlansService,
    private readonly plannedVisits: PlannedVisitsService,
    private readonly confirming: ConfirmingService,
  ) {}

  @ListRoute('List the plans of visits, newest first', VisitPlanPage)
  list(@Query() query: PageQueryDto): Promise<Page<VisitPlanSummary>> {
    return this.plans.list(query);
  }

  @CreateRoute(
    'Ask for the cheapest plan of visits: which vehicle comes in when, for which due lines. It is computed in the background; read it by the id of the plan',
    VisitPlanView,
  )
  create(@Body() input: VisitPlanInput): Promise<VisitPlanView> {
    return this.plans.create(input);
  }

  @ReadRoute('Read a plan: its progress, its visits, what is left for later, and its cost', VisitPlanView)
  get(@IdParam('visit plan') id: string): Promise<VisitPlanView> {
    return this.plans.get(id);
  }

  @Delete(':id')
  @HttpCode(204)
  @ApiOperation({ summary: 'Delete a plan that was not confirmed' })
  @ApiNoContentResponse()
  remove(@IdParam('visit plan') id: string): Promise<void> {
    return this.plans.remove(id);
  }

  @ChangeRoute(
    'Pin, move or drop a visit of a solved plan. A visit that is moved to a day on which its vehicle already comes in joins that visit',
    PlannedVisitInput,
    PlannedVisitView,
    ':id/visits/:visitId',
  )
  patch(
    @IdParam('visit plan') id: string,
    @IdParam('visit in this plan', 'visitId') visitId: string,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<PlannedVisitView> {
    return this.plannedVisits.patch(id, visitId, patch, ifMatch);
  }

  @Post(':id/solve')
  @HttpCode(202)
  @ApiOperation({ summary: 'Solve a plan again, and keep the visits that are pinned, moved or dropped' })
  @ApiAcceptedResponse({ type: VisitPlanView })
  solve(@IdParam('visit plan') id: string): Promise<VisitPlanView> {
    return this.plans.solve(id);
  }

  @Post(':id/confirm')
  @HttpCode(200)
  @ApiOperation({
    summary:
      'Turn the proposals of a plan into visits; lines that have changed since are left for later, with the reason',
  })
  @ApiOkResponse({ type: VisitPlanView })
  confirm(@IdParam('visit plan') id: string): Promise<VisitPlanView> {
    return this.confirming.confirm(id);
  }
}
