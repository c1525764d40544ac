import { Body, Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { ApiBody, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { validated } from '../../platform/input/validation.pipe.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  AcceptReadingInput,
  DiscardReadingInput,
  UsageBatchInput,
  UsageBatchResult,
  UsageQuery,
  UsageReadingPage,
  UsageReadingView,
  UsageView,
} from './usage.dto.js';
import { UsageRecordingService } from './usage-recording.service.js';
import { UsageService } from './usage.service.js';

/** Room for five thousand readings with generous indentation. */
const BATCH_BYTES = 4 * 1024 * 1024;

@ApiTags('usage')
@Controller('v1')
export class UsageController {
  constructor(
    private readonly usage: UsageService,
    private readonly recording: UsageRecordingService,
  ) {}

  @Post('usage-readings')
  @HttpCode(200)
  @MechanicWork()
  @RouteConfig({ bodyLimit: BATCH_BYTES })
  @ApiOperation({ summary: 'Post 1 to 5,000 usage readings, each answered by itself' })
  @ApiBody({ type: UsageBatchInput })
  @ApiOkResponse({ type: UsageBatchResult })
  post(@Body() body: unknown): Promise<UsageBatchResult> {
    return this.recording.post(body);
  }

  @Get('usage-readings')
  @ApiOperation({
    summary: 'List usage readings by status, newest first; held ones unless asked otherwise',
  })
  @ApiOkResponse({ type: UsageReadingPage })
  list(@Query() query: UsageQuery): Promise<Page<UsageReadingView>> {
    return this.usage.list(query);
  }

  @Post('usage-readings/:id/accept')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Accept a held reading; say whether its counter was replaced' })
  @ApiBody({ type: AcceptReadingInput, required: false })
  @ApiOkResponse({ type: UsageReadingView })
  async accept(@IdParam('usage reading') id: string, @Body() body: unknown): Promise<UsageReadingView> {
    const { replaced } = await validated(AcceptReadingInput, body ?? {});
    return this.usage.decide(id, 'accepted', replaced ?? false);
  }

  @Post('usage-readings/:id/discard')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Leave a held reading out; say why' })
  @ApiBody({ type: DiscardReadingInput, required: false })
  @ApiOkResponse({ type: UsageReadingView })
  async discard(@IdParam('usage reading') id: string, @Body() body: unknown): Promise<UsageReadingView> {
    const { reason } = await validated(DiscardReadingInput, body ?? {});
    return this.usage.decide(id, 'discarded', false, reason?.trim() || null);
  }

  @Post('usage-readings/:id/void')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Void an accepted reading' })
  @ApiOkResponse({ type: UsageReadingView })
  void(@IdParam('usage reading') id: string): Promise<UsageReadingView> {
    return this.usage.decide(id, 'voided');
  }

  @Get('vehicles/:id/usage')
  @ApiOperation({ summary: "Read how a vehicle is used: rate, today's estimate, readings" })
  @ApiOkResponse({ type: UsageView })
  ofVehicle(@IdParam('vehicle') id: string, @Query() query: PageQueryDto): Promise<UsageView> {
    return this.usage.ofVehicle(id, query);
  }
}
