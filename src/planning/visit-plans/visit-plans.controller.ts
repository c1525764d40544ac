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
    'Ask which vehicles should come in when, and with which due lines, at least cost; the answer is worked out meanwhile, and read by the id of the plan',
    VisitPlanView,
  )
  create(@Body() input: VisitPlanInput): Promise<VisitPlanView> {
    return this.plans.create(input);
  }

  @ReadRoute(
    'Read a plan: how far it is, its visits, what is left for later, and what it costs',
    VisitPlanView,
  )
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
    'Pin, move or drop a visit of a plan that is solved; moved to a day on which its vehicle comes in already, it joins that visit',
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
  @ApiOperation({ summary: 'Work a plan out anew, keeping to the visits that are pinned, moved or dropped' })
  @ApiAcceptedResponse({ type: VisitPlanView })
  solve(@IdParam('visit plan') id: string): Promise<VisitPlanView> {
    return this.plans.solve(id);
  }

  @Post(':id/confirm')
  @HttpCode(200)
  @ApiOperation({
    summary:
      'Make visits of what a plan proposes; lines that have changed since are left for later, with the reason',
  })
  @ApiOkResponse({ type: VisitPlanView })
  confirm(@IdParam('visit plan') id: string): Promise<VisitPlanView> {
    return this.confirming.confirm(id);
  }
}
