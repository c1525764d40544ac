import { Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import { ListRoute } from '../../platform/resources/resource-routes.js';
import {
  ReminderAttemptPage,
  type ReminderAttemptView,
  ReminderPage,
  ReminderQuery,
  ReminderView,
} from './reminder.dto.js';
import { RemindersService } from './reminders.service.js';

@ApiTags('reminders')
@Controller('v1/reminders')
export class RemindersController {
  constructor(private readonly reminders: RemindersService) {}

  @ListRoute('List the reminders, the newest first', ReminderPage)
  list(@Query() query: ReminderQuery): Promise<Page<ReminderView>> {
    return this.reminders.list(query);
  }

  @Get(':id/attempts')
  @ApiOperation({ summary: 'List the attempts to send a reminder, in order' })
  @ApiOkResponse({ type: ReminderAttemptPage })
  attempts(
    @IdParam('reminder') id: string,
    @Query() query: PageQueryDto,
  ): Promise<Page<ReminderAttemptView>> {
    return this.reminders.attempts(id, query);
  }

  @Post(':id/resend')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Resend a reminder that was sent, or could not be delivered' })
  @ApiOkResponse({ type: ReminderView })
  resend(@IdParam('reminder') id: string): Promise<ReminderView> {
    return this.reminders.resend(id);
  }
}
