import { Body, Controller, Get, HttpCode, Post, Req, Res } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import {
  ApiBody,
  ApiConsumes,
  ApiCreatedResponse,
  ApiHeader,
  ApiOkResponse,
  ApiOperation,
  ApiProduces,
  ApiResponse,
  ApiTags,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ManagerWork, MechanicWork } from '../../platform/access/access.js';
import { FILE_TYPES, receiveFile, TAKES_FILE } from '../../platform/input/file-body.js';
import { IdParam } from '../../platform/input/id-param.js';
import { VoidInput } from '../../platform/http/void-input.dto.js';
import { AttachmentFilesService } from './attachment-files.service.js';
import { AttachmentList, AttachmentView } from './attachment.dto.js';
import { AttachmentsService } from './attachments.service.js';
import { rangeOf } from './byte-range.js';
import { MEDIA_TYPES } from './media-types.js';
import { MAX_ATTACHMENT_BYTES, tooLarge } from './receive-attachment.js';

const BINARY = { schema: { type: 'string', format: 'binary' } } as const;

@ApiTags('job reports')
@Controller('v1/job-reports/:id/attachments')
export class AttachmentsController {
  constructor(
    private readonly attachments: AttachmentsService,
    private readonly files: AttachmentFilesService,
  ) {}

  @Post()
  @MechanicWork()
  @RouteConfig(TAKES_FILE)
  @ApiOperation({
    summary: 'Attach a photo or paper: JPEG, PNG, WebP or PDF, by its content, of up to 10 MB',
    description:
      'Send the file in a form, or as the body. An image loses its metadata, such as the place where it was taken; only its orientation is kept. The same file again gets the same answer.',
  })
  @ApiConsumes('multipart/form-data', ...FILE_TYPES)
  @ApiBody({
    required: true,
    schema: {
      type: 'object',
      properties: { file: { type: 'string', format: 'binary' } },
      required: ['file'],
    },
  })
  @ApiCreatedResponse({ type: AttachmentView })
  @ApiOkResponse({ type: AttachmentView, description: 'The report has this file already' })
  async attach(
    @IdParam('job report') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<AttachmentView> {
    if (Number(request.headers['content-length'] ?? 0) > MAX_ATTACHMENT_BYTES + FORM_BYTES) throw tooLarge();
    const { body, status } = await this.attachments.attach(id, (take) => receiveFile(request, take));
    void reply.status(status).header('location', body.href);
    return body;
  }

  @Get()
  @ApiOperation({ summary: 'List the attachments of a job report, in the order in which they came' })
  @ApiOkResponse({ type: AttachmentList })
  async list(@IdParam('job report') id: string): Promise<AttachmentList> {
    return { items: await this.attachments.list(id) };
  }

  @Get(':attachmentId')
  @ApiOperation({ summary: 'Download an attachment' })
  @ApiProduces(...MEDIA_TYPES)
  @ApiHeader({ name: 'Range', required: false, description: 'One part of the file, such as bytes=0-1023' })
  @ApiOkResponse({ description: 'The file', ...BINARY })
  @ApiResponse({ status: 206, description: 'The part of the file that Range names', ...BINARY })
  @ApiResponse({ status: 304, description: 'If-None-Match names the file' })
  @ApiResponse({ status: 410, description: 'It was voided, and its file is no longer kept' })
  async download(
    @IdParam('job report') id: string,
    @IdParam('attachment', 'attachmentId') attachmentId: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const { mediaType, sizeBytes, sha256 } = await this.attachments.get(id, attachmentId);
    const tag = `"${sha256.toString('hex')}"`;
    void reply.headers({
      etag: tag,
      'cache-control': 'private, no-cache',
      vary: 'Authorization',
      'accept-ranges': 'bytes',
      // Whatever the file contains, no browser may run it here.
      'content-disposition': `attachment; filename="${attachmentId}.${EXTENSIONS[mediaType]}"`,
      'x-content-type-options': 'nosniff',
      'content-security-policy': "default-src 'none'; sandbox",
    });
    const known = (request.headers['if-none-match'] ?? '').split(',').map((each) => each.trim());
    if (known.includes(tag) || known.includes('*')) return void (await reply.status(304).send());
    const ifRange = request.headers['if-range'];
    const range = ifRange === undefined || ifRange === tag ? rangeOf(request.headers.range, sizeBytes) : null;
    const stream = await this.files.open(attachmentId, range);
    if (range)
      void reply.status(206).header('content-range', `bytes ${range.start}-${range.end}/${sizeBytes}`);
    await reply
      .type(mediaType)
      .header('content-length', range ? range.end - range.start + 1 : sizeBytes)
      .send(stream);
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
    return this.attachments.void(id, attachmentId, input.reason);
  }
}

/** Room for what a form adds around its file. */
const FORM_BYTES = 16_384;

const EXTENSIONS = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
  'application/pdf': 'pdf',
} as const;
