import type { MediaType } from '../../entities/attachment.entity.js';

/** What attachments may be. */
export const MEDIA_TYPES = [
  'image/jpeg',
  'image/png',
  'image/webp',
  'application/pdf',
] as const satisfies MediaType[];
