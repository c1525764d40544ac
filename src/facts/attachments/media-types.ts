import type { MediaType } from '../../entities/attachment.entity.js';

/** The media types that attachments may have. */
export const MEDIA_TYPES = [
  'image/jpeg',
  'image/png',
  'image/webp',
  'application/pdf',
] as const satisfies MediaType[];
