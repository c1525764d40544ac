import { Body, Controller, Get, HttpCode, Post, Query, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { InjectDataSource } from '@nestjs/typeorm';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DataSource } from 'typeorm';
import { ManagerWork } from '../platform/access/access.js';
import { IdParam } from '../platform/http/id-param.js';
import { tagList } from '../platform/http/etags.js';
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

@ApiTags('due list')
@Controller('v1/due-list')
export class DueListController {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly dueList: DueListService,
    private readonly postponing: PostponingService,
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
  @ApiOperation({ summary: 'List the due lines, by the day they are due' })
  @ApiOkResponse({ type: DueListPage })
  @ApiResponse({ status: 304, description: 'Nothing has changed since the answer with this ETag' })
  list(
    @Query() query: DueListQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DueListPage | undefined> {
    const wanted = this.dueList.read(query);
    return this.unlessKnown(request, reply, wanted.asOf, () => this.dueList.page(wanted));
  }

  @Get('summary')
  @ApiOperation({
    summary: 'Count the due lines by state, component and depot, and what was done on time and late',
  })
  @ApiOkResponse({ type: DueListSummary })
  @ApiResponse({ status: 304, description: 'Nothing has changed since the answer with this ETag' })
  summary(
    @Query() filters: DueLineFilters,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DueListSummary | undefined> {
    const asOf = this.dueList.today();
    return this.unlessKnown(request, reply, asOf, () => this.dueList.summary(asOf, filters));
  }

  private async unlessKnown<T>(
    request: FastifyRequest,
    reply: FastifyReply,
    asOf: string,
    answer: () => Promise<T>,
  ): Promise<T | undefined> {
    if (!(await tagList(this.dataSource.manager, request, reply, asOf))) return answer();
    void reply.status(304);
    return undefined;
  }
}
