/**
 * What a thread of its own does with an attachment: it reads what strangers sent, and nobody else
 * waits meanwhile. Loaded by `AttachmentThreads` alone. What it finds is told by value, for an
 * error does not keep its class on the way.
 */
import { fileTypeFromBuffer } from 'file-type';
import { createHash } from 'node:crypto';
import { open, readFile } from 'node:fs/promises';
import { setPriority } from 'node:os';
import type { Message } from '../../domain/message.js';
import type { MediaType } from '../../entities/attachment.entity.js';
import { MEDIA_TYPES } from './media-types.js';
import { DamagedFile } from './metadata/damaged-file.js';
import { withoutJpegMetadata } from './metadata/jpeg.js';
import { withoutPngMetadata } from './metadata/png.js';
import { withoutWebpMetadata } from './metadata/webp.js';

export type FoundType = { mediaType: MediaType } | { other: string | null };

export interface Cleaning {
  mediaType: MediaType;
  /** Where the file is as it was sent. */
  received: string;
  /** Where it is to be written as it is kept. */
  kept: string;
}

export type Cleaned =
  | { outcome: 'kept'; sizeBytes: number; sha256: Uint8Array; receivedSha256: Uint8Array }
  | { outcome: 'damaged'; why: Message }
  /** The filesystem refuses. */
  | { outcome: 'not-stored'; why: string };

const CLEANERS: Record<MediaType, (file: Buffer) => Buffer[]> = {
  'image/jpeg': withoutJpegMetadata,
  'image/png': withoutPngMetadata,
  'image/webp': withoutWebpMetadata,
  // A document's bytes are what it is: a signature would not outlive a change.
  'application/pdf': (file) => [file],
};

// On Linux a thread has a priority of its own: whoever waits for an answer comes first. Elsewhere
// it would be the process's.
if (process.platform === 'linux') setPriority(10);

/** What a file is, by its beginning. */
export async function typeOf(head: Uint8Array): Promise<FoundType> {
  let mime: string | null = null;
  try {
    mime = (await fileTypeFromBuffer(head))?.mime ?? null;
  } catch {
    // A beginning at which the library fails is that of nothing that is taken here.
  }
  const mediaType = MEDIA_TYPES.find((type) => type === mime);
  return mediaType === undefined ? { other: mime } : { mediaType };
}

/**
 * Writes a received file as it is to be kept: without what its image says of place, time and
 * camera.
 */
export async function clean({ mediaType, received, kept }: Cleaning): Promise<Cleaned> {
  try {
    const file = await readFile(received);
    const cleaned = Buffer.concat(CLEANERS[mediaType](file));
    await writeWhole(kept, cleaned);
    return {
      outcome: 'kept',
      sizeBytes: cleaned.length,
      sha256: createHash('sha256').update(cleaned).digest(),
      receivedSha256: createHash('sha256').update(file).digest(),
    };
  } catch (error) {
    if (error instanceof DamagedFile) return { outcome: 'damaged', why: error.why };
    if (typeof (error as { syscall?: unknown }).syscall !== 'string') throw error;
    return { outcome: 'not-stored', why: String(error) };
  }
}

async function writeWhole(path: string, bytes: Buffer): Promise<void> {
  const file = await open(path, 'wx', 0o600);
  try {
    await file.writeFile(bytes);
    await file.sync();
  } finally {
    await file.close();
  }
}
