import { fileTypeFromBuffer } from 'file-type';
import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import { Problem, unacceptable } from '../platform/http/problem.js';
import { storeAway } from '../platform/storage/file-store.js';
import { MEDIA_TYPES, type MediaType } from './attachment.entity.js';
import { ByteReader, DamagedFile } from './metadata/byte-reader.js';
import { withoutJpegMetadata } from './metadata/jpeg.js';
import { withoutPngMetadata } from './metadata/png.js';
import { withoutWebpMetadata } from './metadata/webp.js';

export const MAX_ATTACHMENT_BYTES = 10 * 1024 * 1024;
/** How much of a file its type is told by. */
const HEAD_BYTES = 4100;

export interface ReceivedAttachment {
  mediaType: MediaType;
  sizeBytes: number;
  sha256: Buffer;
  receivedSha256: Buffer;
}

const CLEANING: Record<MediaType, (reader: ByteReader) => AsyncIterable<Buffer>> = {
  'image/jpeg': withoutJpegMetadata,
  'image/png': withoutPngMetadata,
  'image/webp': withoutWebpMetadata,
  // A document's bytes are what it is: a signature would not outlive a change.
  'application/pdf': untouched,
};

/**
 * Writes a file as it arrives, without what its image says of place, time and camera, and never with more than a piece of it in
 * memory.
 *
 * @throws Problem 413, 415 or 422 when it may not be kept, 503 when it cannot be
 */
export async function receiveAttachment(
  chunks: AsyncIterable<Buffer>,
  path: string,
): Promise<ReceivedAttachment> {
  const received = createHash('sha256');
  const kept = createHash('sha256');
  let sizeBytes = 0;
  let mediaType: MediaType | null = null;

  async function* limited(): AsyncGenerator<Buffer> {
    let count = 0;
    for await (const chunk of chunks) {
      count += chunk.length;
      if (count > MAX_ATTACHMENT_BYTES) throw tooLarge();
      received.update(chunk);
      yield chunk;
    }
  }
  async function* cleaned(): AsyncGenerator<Buffer> {
    const { head, whole } = await withHead(limited());
    mediaType = await mediaTypeOf(head);
    yield* CLEANING[mediaType](new ByteReader(whole));
  }
  async function* measured(): AsyncGenerator<Buffer> {
    for await (const chunk of cleaned()) {
      kept.update(chunk);
      sizeBytes += chunk.length;
      yield chunk;
    }
  }

  try {
    // Opened first: a stream that opens it itself could make the file after it was discarded.
    const file = await open(path, 'wx', 0o600);
    await pipeline(measured, file.createWriteStream({ flush: true }));
  } catch (error) {
    throw problemOfReceiving(error, mediaType);
  }
  if (mediaType === null) throw new Error('a file was received and its type is not known');
  return { mediaType, sizeBytes, sha256: kept.digest(), receivedSha256: received.digest() };
}

export function tooLarge(): Problem {
  const detail = `is larger than ${MAX_ATTACHMENT_BYTES / 1024 / 1024} MB, the most that one attachment may have`;
  return new Problem(413, 'attachment-too-large', `The file ${detail}.`, [{ pointer: '', detail }]);
}

async function* untouched(reader: ByteReader): AsyncGenerator<Buffer> {
  try {
    for (;;) yield await reader.takePiece();
  } catch (error) {
    if (!(error instanceof DamagedFile)) throw error;
  }
}

/** The beginning of a stream, and all of it. */
async function withHead(
  chunks: AsyncGenerator<Buffer>,
): Promise<{ head: Buffer; whole: AsyncGenerator<Buffer> }> {
  let head = Buffer.alloc(0);
  while (head.length < HEAD_BYTES) {
    const next = await chunks.next();
    if (next.done) break;
    head = Buffer.concat([head, next.value]);
  }
  async function* whole(): AsyncGenerator<Buffer> {
    if (head.length > 0) yield head;
    yield* chunks;
  }
  return { head, whole: whole() };
}

async function mediaTypeOf(head: Buffer): Promise<MediaType> {
  if (head.length === 0) throw unacceptable([{ pointer: '', detail: 'the file is empty' }]);
  const mime = (await fileTypeFromBuffer(head))?.mime;
  const known = MEDIA_TYPES.find((type) => type === mime);
  if (known) return known;
  const detail = `the file is ${mime ?? 'of no type that is known here'}, by its content; JPEG, PNG, WebP or PDF is needed`;
  throw new Problem(415, 'attachment-type', `The file cannot be taken: ${detail}.`, [
    { pointer: '', detail },
  ]);
}

function problemOfReceiving(error: unknown, mediaType: MediaType | null): unknown {
  if (error instanceof DamagedFile)
    return unacceptable([
      { pointer: '', detail: `the file begins as ${mediaType} and is damaged, or ends too early` },
    ]);
  const { syscall } = error as { syscall?: unknown };
  // What the filesystem refuses: full, read-only, gone.
  return typeof syscall === 'string' ? storeAway() : error;
}
