import { Body, Controller, Get, HttpCode, Post, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { DriverReading, DriverWork, ManagerWork } from '../../platform/access/access.js';
import { VoidInput } from '../../platform/http/void-input.dto.js';
import { IdParam } from '../../platform/input/id-param.js';
import { AttachmentFilesService } from '../attachments/attachment-files.service.js';
import { ofDefect } from '../attachments/attachment-owner.js';
import { attachFrom, SendsAttachment, TakesAttachment } from '../attachments/attachment-routes.js';
import { AttachmentList, AttachmentView } from '../attachments/attachment.dto.js';
import { AttachmentsService } from '../attachments/attachments.service.js';
import { sendAttachment } from '../attachments/send-attachment.js';
import { DefectsService } from './defects.service.js';

/** The photos of defects. Whoever sees a defect sees its photos. */
@ApiTags('defects')
@Controller('v1/defects/:id/attachments')
export class DefectAttachmentsController {
  constructor(
    private readonly defects: DefectsService,
    private readonly attachments: AttachmentsService,
    private readonly files: AttachmentFilesService,
  ) {}

  @Post()
  @DriverWork()
  @TakesAttachment('Attach a photo of a defect: JPEG, PNG, WebP or PDF, by its content, of up to 10 MB')
  async attach(
    @IdParam('defect') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<AttachmentView> {
    await this.defects.assertVisible(id);
    return attachFrom(request, reply, this.attachments, ofDefect(id));
  }

  @Get()
  @DriverReading()
  @ApiOperation({ summary: 'List the photos of a defect, in the order in which they came' })
  @ApiOkResponse({ type: AttachmentList })
  async list(@IdParam('defect') id: string): Promise<AttachmentList> {
    await this.defects.assertVisible(id);
    return { items: await this.attachments.list(ofDefect(id)) };
  }

  @Get(':attachmentId')
  @DriverReading()
  @SendsAttachment()
  async download(
    @IdParam('defect') id: string,
    @IdParam('attachment', 'attachmentId') attachmentId: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.defects.assertVisible(id);
    const attachment = await this.attachments.get(ofDefect(id), attachmentId);
    await sendAttachment(attachment, this.files, request, reply);
  }

  @Post(':attachmentId/void')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Void a photo of a defect, with the reason',
    description: 'The file is removed for good. The record of it stays, with who voided it and why.',
  })
  @ApiOkResponse({ type: AttachmentView })
  void(
    @IdParam('defect') id: string,
    @IdParam('attachment', 'attachmentId') attachmentId: string,
    @Body() input: VoidInput,
  ): Promise<AttachmentView> {
    return this.attachments.void(ofDefect(id), attachmentId, input.reason);
  }
}
