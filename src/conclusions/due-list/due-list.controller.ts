import { Body, Controller, Get, HttpCode, Post, Query, Req, Res } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ApiOkResponse, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DeliveryTroublesService } from '../../telling/delivery-troubles/delivery-troubles.service.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { ManagerWork } from '../../platform/access/access.js';
import { Clock } from '../../platform/clock/clock.js';
import { IdParam } from '../../platform/input/id-param.js';
import { shownIn } from '../../platform/presenting/measures.js';
import { IN_READERS_UNITS } from '../../platform/presenting/presenter.interceptor.js';
import { languageOfRequest } from '../../platform/presenting/language-of-request.js';
import { toldTo } from '../../platform/words/shown-messages.js';
import { ReaderUnits } from '../../platform/presenting/reader-units.js';
import {
  DueLineFilters,
  DueLineItem,
  DueListPage,
  DueListQuery,
  DueListSummary,
  PostponeInput,
} from './due-list.dto.js';
import type { DueLineView } from './due-line-view.js';
import { PostponingService } from './postponing.service.js';
import { DueListService } from './due-list.service.js';
import { isNotModified, CACHED, CACHED_BUT_FOR_MANAGERS } from '../../platform/http/response-cache.js';

@ApiTags('due list')
@Controller('v1/due-list')
export class DueListController {
  constructor(
    private readonly dueList: DueListService,
    private readonly postponing: PostponingService,
    private readonly troubles: DeliveryTroublesService,
    private readonly clock: Clock,
  ) {}

  @Post(':id/postpone')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Put a due line off, once until the work is done: to a day, or to what a counter will show',
  })
  @ApiOkResponse({ type: DueLineItem })
  postpone(@IdParam('due line') id: string, @Body() input: PostponeInput): Promise<DueLineView> {
    return this.postponing.postpone(id, input);
  }

  @Get()
  @RouteConfig({ ...CACHED, ...IN_READERS_UNITS })
  @ApiOperation({ summary: 'List the due lines, by the day they are due' })
  @ApiOkResponse({ type: DueListPage })
  @ApiResponse({ status: 304, description: 'Nothing has changed since the answer with this ETag' })
  list(
    @Query() query: DueListQuery,
    @ReaderUnits() units: UnitSystem,
    @Req() request: FastifyRequest,
  ): Promise<DueListPage> {
    const tell = toldTo({ language: languageOfRequest(request), units });
    return this.dueList.page(this.dueList.read(query), shownIn(units), tell);
  }

  @Get('summary')
  @RouteConfig(CACHED_BUT_FOR_MANAGERS)
  @ApiOperation({
    summary: 'Count the due lines by state, component and depot, and what was done on time and late',
  })
  @ApiOkResponse({ type: DueListSummary })
  @ApiResponse({ status: 304, description: 'Nothing has changed since the answer with this ETag' })
  async summary(
    @Query() filters: DueLineFilters,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DueListSummary | undefined> {
    const deliveryTroubles = await this.troubles.ofManager();
    if (deliveryTroubles === null) return this.dueList.summary(this.dueList.today(), filters);
    // Delivery problems begin and end without any change to the fleet's data, so the ETag includes
    // them.
    if (isNotModified(request, reply, this.clock, JSON.stringify(deliveryTroubles))) {
      void reply.status(304);
      return undefined;
    }
    return { ...(await this.dueList.summary(this.dueList.today(), filters)), deliveryTroubles };
  }
}
