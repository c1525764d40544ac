import { createParamDecorator, type ExecutionContext } from '@nestjs/common';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { createHash, randomUUID } from 'node:crypto';
import { type FileHandle, open, unlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Message } from '../../domain/message.js';
import { jsonNeeded } from '../input/json-body.js';
import { assertManagersBody } from '../access/access.js';
import { Problem } from '../problems/problem.js';
import { csvBytes, type TakesCsvBytes } from './csv-bytes.js';
import { charsetOf, type Encoding, EncodingProbe, mediaTypeOf } from './encodings.js';
import { message } from './messages.js';

/** Enough for 100,000 rows of about 300 bytes. */
const MAX_BYTES = 32 * 1024 * 1024;

/** How much of a file is read into memory at a time. */
const PIECE = 64 * 1024;

const CSV = 'text/csv';

/**
 * A CSV file that was sent as a request body. It is kept on disk and not in memory, so that it can
 * be read twice, and again when a transaction is repeated. The file is unlinked at once: nothing is
 * left of it, even if the process is killed.
 */
export class Upload {
  readonly bytes: number;
  /** Used instead of the content when requests are compared. */
  readonly sha256: string;
  readonly encoding: Encoding;
  readonly #file: FileHandle;
  #readers = 0;
  #isOver = false;

  constructor(file: FileHandle, about: { bytes: number; sha256: string; encoding: Encoding }) {
    this.#file = file;
    this.bytes = about.bytes;
    this.sha256 = about.sha256;
    this.encoding = about.encoding;
  }

  /** Reads the file from its beginning. */
  async *read(): AsyncGenerator<Buffer> {
    for (let position = 0; ;) {
      const { bytesRead, buffer } = await this.#file.read(Buffer.alloc(PIECE), 0, PIECE, position);
      if (bytesRead === 0) return;
      position += bytesRead;
      yield buffer.subarray(0, bytesRead);
    }
  }

  /** Keeps the file open while `work` runs, even when the client has gone. */
  async using<T>(work: () => Promise<T>): Promise<T> {
    this.#readers++;
    try {
      return await work();
    } finally {
      this.#readers--;
      if (this.#isOver) await this.release();
    }
  }

  /** Closes the file once nobody reads it. */
  async release(): Promise<void> {
    this.#isOver = true;
    if (this.#readers === 0) await this.#file.close().catch(() => undefined);
  }
}

function tooLarge(bytes = MAX_BYTES): Problem {
  const mebibytes = bytes / 1024 / 1024;
  return new Problem(413, 'body-too-large', message('file-too-large', { mebibytes }));
}

async function spool(payload: NodeJS.ReadableStream, declared: Encoding | 'utf-16' | null): Promise<Upload> {
  const path = join(tmpdir(), `weephole-${randomUUID()}.csv`);
  const file = await open(path, 'wx+', 0o600);
  try {
    await unlink(path);
    const hash = createHash('sha256');
    const probe = new EncodingProbe();
    let bytes = 0;
    for await (const chunk of payload as AsyncIterable<Buffer>) {
      bytes += chunk.length;
      // Read the rest all the same, or the client would never read the answer.
      if (bytes > MAX_BYTES) continue;
      hash.update(chunk);
      probe.see(chunk);
      await file.write(chunk);
    }
    if (bytes > MAX_BYTES) throw tooLarge();
    return new Upload(file, { bytes, sha256: hash.digest('hex'), encoding: probe.verdict(declared) });
  } catch (error) {
    await file.close().catch(() => undefined);
    throw error;
  }
}

const takesCsv = (request: FastifyRequest): boolean =>
  (request.routeOptions.config as { takesCsv?: boolean }).takesCsv === true;

function wrongForm(detail: Message): Problem {
  return new Problem(415, 'media-type', detail);
}

/** Whether a request has a body of a media type that a route for CSV does not take. */
function isOtherThanCsv(request: FastifyRequest): boolean {
  return takesCsv(request) && mediaTypeOf(request.headers['content-type']) !== CSV;
}

/** The problem of a route for CSV with a body of another media type. */
function csvNeeded(request: FastifyRequest): Problem {
  const given = mediaTypeOf(request.headers['content-type']);
  const detail =
    given === '' ? message('media-type-csv') : message('media-type-csv-not', { given: given.slice(0, 60) });
  return new Problem(415, 'media-type', detail, [{ header: 'Content-Type', detail }]);
}

/** Lets the routes that are marked for it accept a CSV body. */
export function registerCsvBodies(fastify: FastifyInstance): void {
  fastify.addHook('preParsing', (request, _reply, payload, done) => {
    if (!isOtherThanCsv(request)) return done(null, payload);
    try {
      // Whoever may not import hears that first, whatever was sent.
      assertManagersBody(request);
      done(csvNeeded(request));
    } catch (error) {
      done(error as Error);
    }
  });
  fastify.addContentTypeParser(CSV, async (request: FastifyRequest, payload: NodeJS.ReadableStream) => {
    const { config } = request.routeOptions;
    // The handler reads the stream itself.
    if ('takesFile' in config) return undefined;
    if ('takesCsvFrom' in config) {
      const whole = await csvBytes(
        request,
        payload as AsyncIterable<Buffer>,
        config as unknown as TakesCsvBytes,
      );
      if (whole === null) throw tooLarge((config as unknown as TakesCsvBytes).bodyLimit);
      return whole;
    }
    if (!takesCsv(request)) throw wrongForm(jsonNeeded());
    assertManagersBody(request);
    if (Number(request.headers['content-length'] ?? 0) > MAX_BYTES) throw tooLarge();
    return spool(payload, charsetOf(request.headers['content-type']));
  });
  fastify.addHook('preHandler', (request: FastifyRequest, reply: FastifyReply, done) => {
    const { body } = request;
    if (body instanceof Upload) {
      // Nothing is sent while a large file is processed, so the idle timeout must not close the
      // connection.
      request.raw.socket.setTimeout(0);
      if (reply.raw.destroyed) void body.release();
      else reply.raw.once('close', () => void body.release());
    }
    done();
  });
}

/** The CSV file of a request, as a handler parameter. */
export const CsvUpload = createParamDecorator((_nothing: unknown, context: ExecutionContext): Upload => {
  const { body } = context.switchToHttp().getRequest<FastifyRequest>();
  if (body instanceof Upload) return body;
  throw wrongForm(message('media-type-csv'));
});
