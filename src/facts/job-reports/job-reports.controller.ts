import { Body, Controller, Get, HttpCode, Post, Query, Req, Res } from '@nestjs/common';
import { ApiBody, ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { RouteConfig } from '@nestjs/platform-fastify';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { INSPECTS_ITEMS } from '../../platform/input/json-body.js';
import type { Page } from '../../platform/pages/pages.js';
import { readerOf } from '../../platform/presenting/reader-of-request.js';
import { VoidInput } from '../../platform/http/void-input.dto.js';
import { JobReportBatchService } from './job-report-batch.service.js';
import {
  JobReportBatchInput,
  JobReportBatchResult,
  JobReportInput,
  JobReportPage,
  JobReportQuery,
  JobReportView,
} from './job-report.dto.js';
import { JobReportsService } from './job-reports.service.js';

/** Room for two hundred reports, each with all its readings. */
const BATCH_BYTES = 4 * 1024 * 1024;

@ApiTags('job reports')
@Controller('v1/job-reports')
export class JobReportsController {
  constructor(
    private readonly reports: JobReportsService,
    private readonly batch: JobReportBatchService,
  ) {}

  @Post()
  @MechanicWork()
  @ApiOperation({ summary: 'Post a completed job: its readings are judged, and intervals count from it' })
  @ApiCreatedResponse({ type: JobReportView })
  @ApiOkResponse({ type: JobReportView, description: 'The same report was posted before' })
  async post(
    @Body() input: JobReportInput,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<JobReportView> {
    const { body, status } = await this.reports.post(input);
    void reply.status(status).header('location', `/v1/job-reports/${body.id}`);
    return body;
  }

  @Post('batch')
  @HttpCode(200)
  @MechanicWork()
  @RouteConfig({ bodyLimit: BATCH_BYTES, ...INSPECTS_ITEMS })
  @ApiOperation({ summary: 'Post up to 200 completed jobs, each answered by itself' })
  @ApiBody({ type: JobReportBatchInput })
  @ApiOkResponse({ type: JobReportBatchResult })
  postBatch(@Body() body: unknown, @Req() request: FastifyRequest): Promise<JobReportBatchResult> {
    return this.batch.post(body, readerOf(request));
  }

  @Get()
  @ApiOperation({ summary: 'List job reports, latest first' })
  @ApiOkResponse({ type: JobReportPage })
  list(@Query() query: JobReportQuery): Promise<Page<JobReportView>> {
    return this.reports.list(query);
  }

  @Get(':id')
  @ApiOperation({ summary: 'Read a job report' })
  @ApiOkResponse({ type: JobReportView })
  get(@IdParam('job report') id: string): Promise<JobReportView> {
    return this.reports.get(id);
  }

  @Post(':id/void')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Void a job report, with the reason' })
  @ApiOkResponse({ type: JobReportView })
  void(@IdParam('job report') id: string, @Body() input: VoidInput): Promise<JobReportView> {
    return this.reports.void(id, input.reason);
  }
}
