import { applyDecorators } from '@nestjs/common';
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
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { FILE_TYPES, receiveFile, TAKES_FILE } from '../../platform/input/file-body.js';
import { AttachmentView } from './attachment.dto.js';
import type { AttachmentOwner } from './attachment-owner.js';
import type { AttachmentsService } from './attachments.service.js';
import { MEDIA_TYPES } from './media-types.js';
import { MAX_ATTACHMENT_BYTES, tooLarge } from './receive-attachment.js';

const BINARY = { schema: { type: 'string', format: 'binary' } } as const;

/** Room for what a form adds around its file. */
const FORM_BYTES = 16_384;

/** A route that takes a file. */
export const TakesAttachment = (summary: string): MethodDecorator =>
  applyDecorators(
    RouteConfig(TAKES_FILE),
    ApiOperation({
      summary,
      description:
        'Send the file in a form, or as the body. An image loses its metadata, such as the place where it was taken; only its orientation is kept. The same file again gets the same answer.',
    }),
    ApiConsumes('multipart/form-data', ...FILE_TYPES),
    ApiBody({
      required: true,
      schema: {
        type: 'object',
        properties: { file: { type: 'string', format: 'binary' } },
        required: ['file'],
      },
    }),
    ApiCreatedResponse({ type: AttachmentView }),
    ApiOkResponse({ type: AttachmentView, description: 'This file was attached before' }),
  );

/** A route that answers with a file. */
export const SendsAttachment = (): MethodDecorator =>
  applyDecorators(
    ApiOperation({ summary: 'Download an attachment' }),
    ApiProduces(...MEDIA_TYPES),
    ApiHeader({
      name: 'Range',
      required: false,
      description: 'One part of the file, such as bytes=0-1023',
    }),
    ApiOkResponse({ description: 'The file', ...BINARY }),
    ApiResponse({ status: 206, description: 'The part of the file that Range names', ...BINARY }),
    ApiResponse({ status: 304, description: 'If-None-Match names the file' }),
    ApiResponse({ status: 410, description: 'It was voided, and its file is no longer kept' }),
  );

/** Attaches the file of a request. */
export async function attachFrom(
  request: FastifyRequest,
  reply: FastifyReply,
  attachments: AttachmentsService,
  owner: AttachmentOwner,
): Promise<AttachmentView> {
  if (Number(request.headers['content-length'] ?? 0) > MAX_ATTACHMENT_BYTES + FORM_BYTES) throw tooLarge();
  const { body, status } = await attachments.attach(owner, (take) => receiveFile(request, take));
  void reply.status(status).header('location', body.href);
  return body;
}
