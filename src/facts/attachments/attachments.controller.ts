import { Body, Controller, Get, HttpCode, Post, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { VoidInput } from '../../platform/http/void-input.dto.js';
import { AttachmentFilesService } from './attachment-files.service.js';
import { AttachmentList, AttachmentView } from './attachment.dto.js';
import { ofReport } from './attachment-owner.js';
import { attachFrom, SendsAttachment, TakesAttachment } from './attachment-routes.js';
import { AttachmentsService } from './attachments.service.js';
import { sendAttachment } from './send-attachment.js';

@ApiTags('job reports')
@Controller('v1/job-reports/:id/attachments')
export class AttachmentsController {
  constructor(
    private readonly attachments: AttachmentsService,
    private readonly files: AttachmentFilesService,
  ) {}

  @Post()
  @MechanicWork()
  @TakesAttachment('Attach a photo or paper: JPEG, PNG, WebP or PDF, by its content, of up to 10 MB')
  attach(
    @IdParam('job report') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<AttachmentView> {
    return attachFrom(request, reply, this.attachments, ofReport(id));
  }

  @Get()
  @ApiOperation({ summary: 'List the attachments of a job report, in the order in which they came' })
  @ApiOkResponse({ type: AttachmentList })
  async list(@IdParam('job report') id: string): Promise<AttachmentList> {
    return { items: await this.attachments.list(ofReport(id)) };
  }

  @Get(':attachmentId')
  @SendsAttachment()
  async download(
    @IdParam('job report') id: string,
    @IdParam('attachment', 'attachmentId') attachmentId: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const attachment = await this.attachments.get(ofReport(id), attachmentId);
    await sendAttachment(attachment, this.files, request, reply);
  }

  @Post(':attachmentId/void')
  @HttpCode(200)
  @ManagerWork()
  @ApiOperation({
    summary: 'Void an attachment, with the reason',
    description:
      'The file is removed for good. The record of it stays, with who voided it and why. Voiding the job report leaves its attachments as they are: they are still evidence of what was done.',
  })
  @ApiOkResponse({ type: AttachmentView })
  void(
    @IdParam('job report') id: string,
    @IdParam('attachment', 'attachmentId') attachmentId: string,
    @Body() input: VoidInput,
  ): Promise<AttachmentView> {
    return this.attachments.void(ofReport(id), attachmentId, input.reason);
  }
}
