import type { FastifyRequest } from 'fastify';
import { createHash } from 'node:crypto';
import { assertBodyFrom } from '../access/access.js';
import type { Role } from '../scope/roles.js';

/** The config of a route that takes a short CSV file into memory, and from whom. */
export interface TakesCsvBytes {
  takesCsvFrom: readonly Role[];
  bodyLimit: number;
}

/** A short CSV file that was sent as a request body. */
export class CsvBytes {
  readonly #bytes: Buffer;
  /** Used instead of the content when requests are compared. */
  readonly sha256: string;

  constructor(bytes: Buffer) {
    this.#bytes = bytes;
    this.sha256 = createHash('sha256').update(bytes).digest('hex');
  }

  get bytes(): Buffer {
    return this.#bytes;
  }
}

/**
 * Reads a short CSV file. Null when it is longer than the route allows.
 *
 * @throws Problem 403 for a role from which the route takes none
 */
export async function csvBytes(
  request: FastifyRequest,
  payload: AsyncIterable<Buffer>,
  { takesCsvFrom, bodyLimit }: TakesCsvBytes,
): Promise<CsvBytes | null> {
  assertBodyFrom(request, takesCsvFrom);
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of payload) {
    size += chunk.length;
    // Read the rest all the same, or the client would never read the answer.
    if (size <= bodyLimit) chunks.push(chunk);
  }
  return size > bodyLimit ? null : new CsvBytes(Buffer.concat(chunks));
}
