import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Attachment } from '../../entities/attachment.entity.js';
import type { AttachmentFilesService } from './attachment-files.service.js';
import { rangeOf } from './byte-range.js';

const EXTENSIONS = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
  'application/pdf': 'pdf',
} as const;

/** Sends the file of an attachment, or the part of it that the request asks for. */
export async function sendAttachment(
  { id, mediaType, sizeBytes, sha256 }: Attachment,
  files: AttachmentFilesService,
  request: FastifyRequest,
  reply: FastifyReply,
): Promise<void> {
  const tag = `"${sha256.toString('hex')}"`;
  void reply.headers({
    etag: tag,
    'cache-control': 'private, no-cache',
    vary: 'Authorization',
    'accept-ranges': 'bytes',
    // Whatever the file contains, no browser may run it here.
    'content-disposition': `attachment; filename="${id}.${EXTENSIONS[mediaType]}"`,
    'x-content-type-options': 'nosniff',
    'content-security-policy': "default-src 'none'; sandbox",
  });
  const known = (request.headers['if-none-match'] ?? '').split(',').map((each) => each.trim());
  if (known.includes(tag) || known.includes('*')) return void (await reply.status(304).send());
  const ifRange = request.headers['if-range'];
  const range = ifRange === undefined || ifRange === tag ? rangeOf(request.headers.range, sizeBytes) : null;
  const stream = await files.open(id, range);
  if (range) void reply.status(206).header('content-range', `bytes ${range.start}-${range.end}/${sizeBytes}`);
  await reply
    .type(mediaType)
    .header('content-length', range ? range.end - range.start + 1 : sizeBytes)
    .send(stream);
}
