import { Body, Controller, Delete, Get, HttpCode, Param, Post, Query, Req, Res } from '@nestjs/common';
import {
  ApiCreatedResponse,
  ApiExtraModels,
  ApiNoContentResponse,
  ApiOkResponse,
  ApiOperation,
  ApiParam,
  ApiProduces,
  ApiTags,
  getSchemaPath,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { Config } from '../../platform/config/config.js';
import { IdParam } from '../../platform/input/id-param.js';
import { linkNext, type Page } from '../../platform/pages/pages.js';
import { wantsHtml } from '../../platform/presenting/wants-html.js';
import { labelSheet, labelSvg, SHEET_HEADERS } from './label-sheet.js';
import {
  type LabelFormat,
  LabelPage,
  LabelQuery,
  LabelsInput,
  LabelsMade,
  LabelsQuery,
  LabelView,
} from './label.dto.js';
import { LabelsService } from './labels.service.js';

const asPageOr = (view: typeof LabelView | typeof LabelPage) => ({
  content: {
    'application/json': { schema: { $ref: getSchemaPath(view) } },
    'text/html': { schema: { type: 'string' } },
  },
});

/** The labels by which anybody beside a vehicle can report what is wrong with it. */
@ApiTags('labels')
@ApiExtraModels(LabelView, LabelPage)
@Controller('v1')
export class LabelsController {
  constructor(
    private readonly labels: LabelsService,
    private readonly config: Config,
  ) {}

  @Get('vehicle-labels')
  @MechanicWork()
  @ApiOperation({
    summary: 'List the labels by unit number, or make sheets of them to print',
    description: 'As JSON, or as a page to print on A4 or US Letter: by the Accept header, or by `format`.',
  })
  @ApiOkResponse({ description: 'The labels', ...asPageOr(LabelPage) })
  async list(
    @Query() query: LabelsQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<Page<LabelView> | string> {
    const page = await this.labels.list(query, this.origin(request));
    if (!isToPrint(query.format, request, reply)) return page;
    linkNext(request, reply, page.next);
    return labelSheet(page.items, await this.labels.language());
  }

  @Post('vehicle-labels')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Make labels for all vehicles that have none, up to 1000 at a time' })
  @ApiOkResponse({ type: LabelsMade })
  makeMissing(@Body() { depotId = null }: LabelsInput): Promise<LabelsMade> {
    return this.labels.makeMissing(depotId);
  }

  @Get('vehicle-labels/:code')
  @MechanicWork()
  @ApiOperation({
    summary: 'Find the vehicle of a label by its code',
    description:
      "For who scans a label and is signed in. The code is what follows `/l/` in the label's address. It is found also while `driverLabels` is `none`.",
  })
  @ApiParam({ name: 'code', example: 'AZTp3WcYdU6Kk3o5T5bUJQ7m0dJ9o1fS2uQk8r4yX1A' })
  @ApiOkResponse({ type: LabelView })
  find(@Param('code') code: string, @Req() request: FastifyRequest): Promise<LabelView> {
    return this.labels.find(code, this.origin(request));
  }

  @Get('vehicles/:id/label')
  @MechanicWork()
  @ApiOperation({
    summary: 'Read the label of a vehicle, or make it to print',
    description: 'As JSON, or as a page to print: by the Accept header, or by `format`.',
  })
  @ApiOkResponse({ description: 'The label', ...asPageOr(LabelView) })
  async get(
    @IdParam('vehicle') id: string,
    @Query() { format }: LabelQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<LabelView | string> {
    const label = await this.labels.get(id, this.origin(request));
    return isToPrint(format, request, reply) ? labelSheet([label], await this.labels.language()) : label;
  }

  @Get('vehicles/:id/label.svg')
  @MechanicWork()
  @ApiOperation({ summary: 'Draw the QR code of the label of a vehicle' })
  @ApiProduces('image/svg+xml')
  @ApiOkResponse({ description: 'The QR code alone', schema: { type: 'string' } })
  async draw(
    @IdParam('vehicle') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<string> {
    const { address } = await this.labels.get(id, this.origin(request));
    void reply.headers({ 'content-type': 'image/svg+xml; charset=utf-8', 'cache-control': 'no-store' });
    return labelSvg(address);
  }

  @Post('vehicles/:id/label')
  @ManagerWork()
  @ApiOperation({
    summary: 'Make the label of a vehicle',
    description: "It works as soon as the fleet's driverLabels allow it.",
  })
  @ApiCreatedResponse({ type: LabelView })
  @ApiOkResponse({ type: LabelView, description: 'It has one already' })
  async make(
    @IdParam('vehicle') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<LabelView> {
    const { body, status = 201 } = await this.labels.make(id, this.origin(request));
    void reply.status(status);
    return body;
  }

  @Post('vehicles/:id/label/renew')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({ summary: 'Make another label for a vehicle; the one on it no longer works' })
  @ApiOkResponse({ type: LabelView })
  renew(@IdParam('vehicle') id: string, @Req() request: FastifyRequest): Promise<LabelView> {
    return this.labels.renew(id, this.origin(request));
  }

  @Delete('vehicles/:id/label')
  @HttpCode(204)
  @ManagerWork()
  @ApiOperation({ summary: 'Revoke the label of a vehicle' })
  @ApiNoContentResponse()
  revoke(@IdParam('vehicle') id: string): Promise<void> {
    return this.labels.revoke(id);
  }

  /** The address that drivers reach the service at; unless set, the one that this request came to. */
  private origin(request: FastifyRequest): string {
    return this.config.labels.publicUrl ?? `${request.protocol}://${request.host}`;
  }
}

/** Whether a sheet is wanted. Sets its headers. */
function isToPrint(format: LabelFormat | undefined, request: FastifyRequest, reply: FastifyReply): boolean {
  void reply.header('vary', 'Accept');
  if (format === undefined ? !wantsHtml(request.headers.accept) : format !== 'html') return false;
  void reply.headers(SHEET_HEADERS);
  return true;
}
