/**
 * Code for a separate thread: it parses files from strangers, so that no other request waits
 * meanwhile. Only `AttachmentThreads` loads it. Results are returned as values, because errors lose
 * their class between threads.
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
  /** Path of the file as it was sent. */
  received: string;
  /** Path for the cleaned file. */
  kept: string;
}

export type Cleaned =
  | { outcome: 'kept'; sizeBytes: number; sha256: Uint8Array; receivedSha256: Uint8Array }
  | { outcome: 'damaged'; why: Message }
  /** The filesystem refused to write. */
  | { outcome: 'not-stored'; why: string };

const CLEANERS: Record<MediaType, (file: Buffer) => Buffer[]> = {
  'image/jpeg': withoutJpegMetadata,
  'image/png': withoutPngMetadata,
  'image/webp': withoutWebpMetadata,
  // A PDF is kept byte for byte, because a change would break its signature.
  'application/pdf': (file) => [file],
};

// On Linux a thread has its own priority, so requests that wait for a response come first.
// Elsewhere this would change the priority of the whole process.
if (process.platform === 'linux') setPriority(10);

/** Recognises the type of a file by its first bytes. */
export async function typeOf(head: Uint8Array): Promise<FoundType> {
  let mime: string | null = null;
  try {
    mime = (await fileTypeFromBuffer(head))?.mime ?? null;
  } catch {
    // If the library fails on the first bytes, they belong to no type that is accepted.
  }
  const mediaType = MEDIA_TYPES.find((type) => type === mime);
  return mediaType === undefined ? { other: mime } : { mediaType };
}

/** Writes the cleaned copy of a received file: an image loses its place, time and camera data. */
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
