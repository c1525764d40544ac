import { open } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import type { Message } from '../../domain/message.js';
import { Problem, unacceptable } from '../../platform/problems/problem.js';
import { storeAway } from '../../platform/storage/file-store.js';
import { type AttachmentThreads, TooSlow } from './attachment-threads.js';
import type { MediaType } from '../../entities/attachment.entity.js';
import { message } from './messages.js';

export const MAX_ATTACHMENT_BYTES = 10 * 1024 * 1024;
/** How many bytes are used to recognise the type of a file. */
const HEAD_BYTES = 4100;

export interface ReceivedAttachment {
  mediaType: MediaType;
  sizeBytes: number;
  sha256: Buffer;
  receivedSha256: Buffer;
}

/**
 * Where a file is written: as it was sent, and cleaned. Neither exists before; afterwards both may.
 */
export interface AttachmentPaths {
  received: string;
  kept: string;
}

/**
 * Writes a file to disk as it arrives, with only one piece at a time in memory. When it is
 * complete, a separate thread writes the cleaned copy: an image loses its place, time and camera
 * data.
 *
 * @throws Problem 413, 415 or 422 when the file is not accepted, 429 when reading it takes too
 * long, 503 when it cannot be stored
 */
export async function receiveAttachment(
  chunks: AsyncIterable<Buffer>,
  paths: AttachmentPaths,
  threads: AttachmentThreads,
): Promise<ReceivedAttachment> {
  try {
    const mediaType = await spool(chunks, paths.received, threads);
    const cleaned = await threads.clean({ mediaType, ...paths });
    if (cleaned.outcome === 'damaged') throw damaged(mediaType, cleaned.why);
    if (cleaned.outcome === 'not-stored') throw storeAway();
    const { sizeBytes, sha256, receivedSha256 } = cleaned;
    return {
      ...{ mediaType, sizeBytes },
      sha256: Buffer.from(sha256),
      receivedSha256: Buffer.from(receivedSha256),
    };
  } catch (error) {
    throw problemOfReceiving(error);
  }
}

/**
 * Writes what arrives, unless it is too large or of a type that is not accepted.
 *
 * @returns the type of the file
 */
async function spool(
  chunks: AsyncIterable<Buffer>,
  path: string,
  threads: AttachmentThreads,
): Promise<MediaType> {
  let mediaType: MediaType | null = null;
  async function* checked(): AsyncGenerator<Buffer> {
    let head = Buffer.alloc(0);
    let count = 0;
    for await (const chunk of chunks) {
      count += chunk.length;
      if (count > MAX_ATTACHMENT_BYTES) throw tooLarge();
      if (mediaType === null) {
        head = Buffer.concat([head, chunk]);
        // Rejects a film by its first bytes, instead of waiting for the rest of it.
        if (head.length >= HEAD_BYTES) mediaType = await mediaTypeOf(head, threads);
      }
      yield chunk;
    }
    mediaType ??= await mediaTypeOf(head, threads);
  }
  // Opened here, because a stream that opens the file itself could create it after it was
  // discarded.
  const file = await open(path, 'wx', 0o600);
  await pipeline(checked, file.createWriteStream());
  if (mediaType === null) throw new Error('a file was received and its type is not known');
  return mediaType;
}

export function tooLarge(): Problem {
  const detail = message('attachment-too-large', { megabytes: MAX_ATTACHMENT_BYTES / 1024 / 1024 });
  return new Problem(413, 'attachment-too-large', detail, [{ pointer: '', detail }]);
}

/** @throws Problem 415 or 422 */
async function mediaTypeOf(head: Buffer, threads: AttachmentThreads): Promise<MediaType> {
  if (head.length === 0) throw unacceptable([{ pointer: '', detail: message('attachment-empty') }]);
  const found = await threads.typeOf(head.subarray(0, HEAD_BYTES));
  if ('mediaType' in found) return found.mediaType;
  const detail =
    found.other === null
      ? message('attachment-type-unknown')
      : message('attachment-type-not-taken', { type: found.other });
  throw new Problem(415, 'attachment-type', detail, [{ pointer: '', detail }]);
}

function damaged(mediaType: MediaType, why: Message): Problem {
  return unacceptable([{ pointer: '', detail: message('attachment-damaged', { type: mediaType, why }) }]);
}

function problemOfReceiving(error: unknown): unknown {
  if (error instanceof TooSlow) {
    const detail = message('attachment-read-too-slowly');
    return new Problem(429, 'too-many-uploads', detail, [], { 'retry-after': '30' });
  }
  const { syscall } = error as { syscall?: unknown };
  // The filesystem refused: full, read-only or gone.
  return typeof syscall === 'string' ? storeAway() : error;
}
