import { open } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import { Problem } from '../../platform/problems/problem.js';
import { storeAway } from '../../platform/storage/file-store.js';
import { LIMITS } from './reading/limits.js';
import { message } from './reading/messages.js';

/** The problem of a file that is larger than any that is taken. */
export function tooLarge(): Problem {
  const detail = message('sheet-file-too-large', { mebibytes: LIMITS.fileBytes / 1024 / 1024 });
  return new Problem(413, 'body-too-large', detail, [{ pointer: '', detail }]);
}

/**
 * Writes a file to disk as it arrives, with only one piece at a time in memory.
 *
 * @returns its size in bytes
 * @throws Problem 413 when it is too large, 503 when it cannot be stored
 */
export async function spoolSheet(chunks: AsyncIterable<Buffer>, path: string): Promise<number> {
  let size = 0;
  async function* counted(): AsyncGenerator<Buffer> {
    for await (const chunk of chunks) {
      size += chunk.length;
      if (size > LIMITS.fileBytes) throw tooLarge();
      yield chunk;
    }
  }
  try {
    const file = await open(path, 'wx', 0o600);
    await pipeline(counted, file.createWriteStream());
    return size;
  } catch (error) {
    throw typeof (error as { syscall?: unknown }).syscall === 'string' ? storeAway() : error;
  }
}
