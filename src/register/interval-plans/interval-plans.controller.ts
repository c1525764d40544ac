import { Body, Controller, HttpCode, Post, Query, UseInterceptors } from '@nestjs/common';
import { ApiExtraModels, ApiOkResponse, ApiOperation, ApiTags, getSchemaPath } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { DryRunQueryDto } from '../../platform/input/dry-run-query.dto.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  DeleteRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
  VersionTag,
} from '../../platform/resources/resource-routes.js';
import {
  IntervalPlanDryRun,
  IntervalPlanInput,
  IntervalPlanPage,
  IntervalPlanView,
} from './interval-plan.dto.js';
import { IntervalPlansService } from './interval-plans.service.js';

@ApiTags('interval plans')
@Controller('v1/interval-plans')
export class IntervalPlansController {
  constructor(private readonly intervalPlans: IntervalPlansService) {}

  @ListRoute('List the interval plans, by name', IntervalPlanPage)
  list(@Query() query: PageQueryDto): Promise<Page<IntervalPlanView>> {
    return this.intervalPlans.list(query);
  }

  @CreateRoute('Add an interval plan', IntervalPlanView)
  create(@Body() input: IntervalPlanInput): Promise<IntervalPlanView> {
    return this.intervalPlans.create(input);
  }

  @ReadRoute('Read an interval plan', IntervalPlanView)
  get(@IdParam('interval plan') id: string): Promise<IntervalPlanView> {
    return this.intervalPlans.get(id);
  }

  @ApiExtraModels(IntervalPlanView, IntervalPlanDryRun)
  @ApiOkResponse({
    schema: {
      oneOf: [{ $ref: getSchemaPath(IntervalPlanView) }, { $ref: getSchemaPath(IntervalPlanDryRun) }],
    },
  })
  @ChangeRoute('Change an interval plan', IntervalPlanInput, IntervalPlanView)
  patch(
    @IdParam('interval plan') id: string,
    @Query() query: DryRunQueryDto,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<IntervalPlanView | IntervalPlanDryRun> {
    if (query.dryRun === 'true') return this.intervalPlans.tryOut(id, patch, ifMatch);
    return this.intervalPlans.patch(id, patch, ifMatch);
  }

  @Post(':id/confirm')
  @HttpCode(200)
  @ManagerWork()
  @UseInterceptors(VersionTag)
  @ApiOperation({
    summary: "Confirm a ready-made interval plan: its intervals are right for the fleet's vehicles",
    description:
      'Records who and when. Answers that show or use it no longer say that it is common practice. Confirming again changes nothing.',
  })
  @ApiOkResponse({ type: IntervalPlanView })
  confirm(@IdParam('interval plan') id: string): Promise<IntervalPlanView> {
    return this.intervalPlans.confirm(id);
  }

  @DeleteRoute('Delete an interval plan that no vehicle ever followed')
  remove(@IdParam('interval plan') id: string): Promise<void> {
    return this.intervalPlans.remove(id);
  }
}
