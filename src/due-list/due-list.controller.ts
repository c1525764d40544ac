import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import { InjectDataSource } from '@nestjs/typeorm';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DataSource } from 'typeorm';
import { tagList } from '../platform/http/etags.js';
import { DueLineFilters, DueListPage, DueListQuery, DueListSummary } from './due-list.dto.js';
import { DueListService } from './due-list.service.js';

@ApiTags('due list')
@Controller('v1/due-list')
export class DueListController {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly dueList: DueListService,
  ) {}

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
