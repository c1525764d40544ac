import { Body, Controller, Get, HttpCode, Post, Query, Req, Res } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ApiBody, ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DriverReading, DriverWork, MechanicWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { INSPECTS_ITEMS } from '../../platform/input/json-body.js';
import type { Page } from '../../platform/pages/pages.js';
import { readerOf } from '../../platform/presenting/reader-of-request.js';
import { DefectBatchService } from './defect-batch.service.js';
import { DefectDecisionsService } from './defect-decisions.service.js';
import {
  AcceptTopUpInput,
  DefectBatchInput,
  DefectInput,
  DefectQuery,
  DismissInput,
  TriageInput,
} from './defect-input.dto.js';
import { DefectBatchResult, DefectPage, DefectView } from './defect.dto.js';
import { DefectsService } from './defects.service.js';
import { LabelTopUpsService } from './label-top-ups.service.js';

@ApiTags('defects')
@Controller('v1/defects')
export class DefectsController {
  constructor(
    private readonly defects: DefectsService,
    private readonly batch: DefectBatchService,
    private readonly decisions: DefectDecisionsService,
    private readonly topUps: LabelTopUpsService,
  ) {}

  @Post()
  @DriverWork()
  @ApiOperation({ summary: 'Report what is wrong with a vehicle' })
  @ApiCreatedResponse({ type: DefectView })
  @ApiOkResponse({ type: DefectView, description: 'The same defect was reported before' })
  async post(
    @Body() input: DefectInput,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DefectView> {
    const { body, status } = await this.defects.post(input);
    void reply.status(status).header('location', `/v1/defects/${body.id}`);
    return body;
  }

  @Post('batch')
  @HttpCode(200)
  @DriverWork()
  @RouteConfig(INSPECTS_ITEMS)
  @ApiOperation({ summary: 'Report up to 200 defects, each answered by itself' })
  @ApiBody({ type: DefectBatchInput })
  @ApiOkResponse({ type: DefectBatchResult })
  postBatch(@Body() body: unknown, @Req() request: FastifyRequest): Promise<DefectBatchResult> {
    return this.batch.post(body, readerOf(request));
  }

  @Get()
  @DriverReading()
  @ApiOperation({
    summary: 'List defects, latest first',
    description:
      "A driver's token sees those that it reported and, where vehicleId or unitNumber names a vehicle, all open ones of that vehicle.",
  })
  @ApiOkResponse({ type: DefectPage })
  list(@Query() query: DefectQuery): Promise<Page<DefectView>> {
    return this.defects.list(query);
  }

  @Get(':id')
  @DriverReading()
  @ApiOperation({ summary: 'Read a defect: its state, who decided what, and whether the vehicle stays' })
  @ApiOkResponse({ type: DefectView })
  get(@IdParam('defect') id: string): Promise<DefectView> {
    return this.defects.get(id);
  }

  @Post(':id/triage')
  @HttpCode(200)
  @MechanicWork()
  @ApiOperation({
    summary: 'Have a defect repaired: its work becomes due at once, or by a day',
    description:
      'Can be repeated; the last decision counts. A report settles it that names it in repairedDefects, or that does this work where the work replaces, adjusts, cleans or flushes.',
  })
  @ApiOkResponse({ type: DefectView })
  triage(@IdParam('defect') id: string, @Body() input: TriageInput): Promise<DefectView> {
    return this.decisions.triage(id, input);
  }

  @Post(':id/accept-top-up')
  @HttpCode(200)
  @MechanicWork()
  @ApiOperation({
    summary: 'Let a top-up that was reported by a label count',
    description:
      'It becomes a reading, taken when it was reported, and counts for the loss watch. Say how much if the report does not. The defect stays open until it is triaged or dismissed.',
  })
  @ApiOkResponse({ type: DefectView })
  acceptTopUp(@IdParam('defect') id: string, @Body() input: AcceptTopUpInput): Promise<DefectView> {
    return this.topUps.accept(id, input);
  }

  @Post(':id/dismiss')
  @HttpCode(200)
  @MechanicWork()
  @ApiOperation({ summary: 'Certify that a defect need not be repaired, with the reason' })
  @ApiOkResponse({ type: DefectView })
  dismiss(@IdParam('defect') id: string, @Body() input: DismissInput): Promise<DefectView> {
    return this.decisions.dismiss(id, input);
  }
}
