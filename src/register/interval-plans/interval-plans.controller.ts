import { Body, Controller, Query } from '@nestjs/common';
import { ApiExtraModels, ApiOkResponse, ApiTags, getSchemaPath } from '@nestjs/swagger';
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

  @DeleteRoute('Delete an interval plan that no vehicle ever followed')
  remove(@IdParam('interval plan') id: string): Promise<void> {
    return this.intervalPlans.remove(id);
  }
}
