import { Body, Controller, HttpCode, Post, Query } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../../platform/access/access.js';
import { IdParam } from '../../../platform/input/id-param.js';
import { PageQueryDto } from '../../../platform/pages/page-query.dto.js';
import type { Page } from '../../../platform/pages/pages.js';
import {
  ChangeRoute,
  CreateRoute,
  DeleteRoute,
  IfMatch,
  ListRoute,
  ReadRoute,
} from '../../../platform/resources/resource-routes.js';
import { validated } from '../../../platform/input/validation.pipe.js';
import {
  NewReminderTargetView,
  ReminderTargetInput,
  ReminderTargetPage,
  ReminderTargetView,
  RotatedSecretView,
  RotationInput,
  TestResult,
} from './reminder-target.dto.js';
import { ReminderTargetsService } from './reminder-targets.service.js';

@ApiTags('reminders')
@ManagerWork()
@Controller('v1/reminder-targets')
export class ReminderTargetsController {
  constructor(private readonly targets: ReminderTargetsService) {}

  @ListRoute('List the reminder targets, by address', ReminderTargetPage)
  list(@Query() query: PageQueryDto): Promise<Page<ReminderTargetView>> {
    return this.targets.list(query);
  }

  @CreateRoute('Add a reminder target; it gets current news at once', NewReminderTargetView)
  create(@Body() input: ReminderTargetInput): Promise<NewReminderTargetView> {
    return this.targets.create(input);
  }

  @ReadRoute('Read a reminder target', ReminderTargetView)
  get(@IdParam('reminder target') id: string): Promise<ReminderTargetView> {
    return this.targets.get(id);
  }

  @ChangeRoute('Change a reminder target', ReminderTargetInput, ReminderTargetView)
  patch(
    @IdParam('reminder target') id: string,
    @Body() patch: object,
    @IfMatch() ifMatch: string | undefined,
  ): Promise<ReminderTargetView> {
    return this.targets.patch(id, patch, ifMatch);
  }

  @DeleteRoute('Remove a reminder target; reminders already sent stay on record')
  remove(@IdParam('reminder target') id: string): Promise<void> {
    return this.targets.remove(id);
  }

  @Post(':id/rotate-secret')
  @HttpCode(200)
  @ApiOperation({ summary: 'Give a webhook a new secret; the old one signs as well for a while' })
  @ApiBody({ type: RotationInput, required: false })
  @ApiOkResponse({ type: RotatedSecretView })
  async rotateSecret(
    @IdParam('reminder target') id: string,
    @Body() body: unknown,
  ): Promise<RotatedSecretView> {
    return this.targets.rotateSecret(id, await validated(RotationInput, body ?? {}));
  }

  @Post(':id/test')
  @HttpCode(200)
  @ApiOperation({ summary: 'Send a test message now, and return the outcome' })
  @ApiOkResponse({ type: TestResult })
  test(@IdParam('reminder target') id: string): Promise<TestResult> {
    return this.targets.test(id);
  }
}
