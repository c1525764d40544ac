import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Readable } from 'node:stream';
import type { Message } from '../../domain/message.js';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';
import { jsonNeeded } from './json-body.js';

/** The config of a route whose body is a file that the handler reads as it arrives. */
export const TAKES_FILE = { takesFile: true } as const;

/** The config of such a route that takes other media types than `FILE_TYPES`. */
export interface TakesFileTypes {
  takesFile: true;
  fileTypes: readonly string[];
}

const FORM = 'multipart/form-data';
/**
 * Media types under which a file may be sent by itself. The content decides what the file really
 * is.
 */
export const FILE_TYPES = [
  'image/jpeg',
  'image/png',
  'image/webp',
  'application/pdf',
  'application/octet-stream',
];

/** Media types under which spreadsheets are sent. Windows calls CSV what it calls workbooks. */
export const SHEET_TYPES = [
  'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  'application/vnd.ms-excel',
  'text/csv',
  'text/tab-separated-values',
  'text/plain',
  'application/octet-stream',
];

const mediaTypeOf = (request: FastifyRequest): string =>
  (request.headers['content-type'] ?? '').split(';', 1)[0]?.trim().toLowerCase() ?? '';

/**
 * Lets routes with `TAKES_FILE` accept files, by themselves or in a form. All other routes refuse
 * them.
 */
export async function registerFileBodies(fastify: FastifyInstance): Promise<void> {
  await fastify.register(multipart);
  // The handler reads the request stream itself. Parsing a body would load the file into memory.
  // `text/csv` has a parser of its own, which leaves the body of these routes alone.
  const all = [...new Set([...FILE_TYPES, ...SHEET_TYPES])].filter((type) => type !== 'text/csv');
  fastify.addContentTypeParser(all, (_request, _payload, done) => done(null));
  fastify.addHook('preParsing', (request, _reply, payload, done) => {
    const { takesFile, fileTypes = FILE_TYPES } = request.routeOptions.config as Partial<TakesFileTypes>;
    const type = mediaTypeOf(request);
    const isFile = type === FORM || (takesFile ? fileTypes : all).includes(type);
    if (takesFile && !isFile) {
      const accepted = [FORM, ...fileTypes];
      const detail =
        type === ''
          ? message('media-type-missing', { accepted })
          : message('media-type-not-taken', { given: type.slice(0, 60), accepted });
      return done(new Problem(415, 'media-type', detail, [{ header: 'Content-Type', detail }]));
    }
    if (!takesFile && isFile) return done(new Problem(415, 'media-type', jsonNeeded()));
    done(null, payload);
  });
}

/** Takes the bytes of a file, and its name if the form gives one. */
export type TakesChunks<T> = (chunks: AsyncIterable<Buffer>, name: string | null) => Promise<T>;

/** The bytes as the client sends them. An incomplete upload is the client's fault. */
export async function* sent(stream: Readable): AsyncGenerator<Buffer> {
  try {
    // Do not destroy the request when reading stops early: its connection must still carry the
    // answer.
    for await (const chunk of stream.iterator({ destroyOnReturn: false })) yield chunk as Buffer;
  } catch {
    throw new Problem(400, 'upload-broken', message('upload-broken'));
  }
}

function malformedForm(detail: Message): Problem {
  return new Problem(400, 'malformed-form', detail, [{ pointer: '', detail }]);
}

/**
 * Passes the file of a request to `take` as it arrives: the body itself, or the only file of a
 * form.
 *
 * @throws Problem 400 when the upload is incomplete, or a form contains anything else
 */
export async function receiveFile<T>(request: FastifyRequest, take: TakesChunks<T>): Promise<T> {
  try {
    return mediaTypeOf(request) === FORM
      ? await receiveFromForm(request, take)
      : await take(sent(request.raw), null);
  } finally {
    // Discard the rest of the body, so that the connection can serve the next request.
    request.raw.unpipe();
    request.raw.resume();
  }
}

async function receiveFromForm<T>(request: FastifyRequest, take: TakesChunks<T>): Promise<T> {
  let taken: { result: T } | null = null;
  let hasTakerFailed = false;
  const limits = { files: 2, fields: 1, parts: 3, fieldSize: 1024, fileSize: Number.MAX_SAFE_INTEGER };
  try {
    for await (const part of request.parts({ limits })) {
      if (part.type !== 'file') throw malformedForm(message('form-field-beside-file'));
      if (taken) throw malformedForm(message('form-several-files'));
      hasTakerFailed = true;
      taken = { result: await take(sent(part.file), part.filename || null) };
      hasTakerFailed = false;
    }
  } catch (error) {
    // The form reader only throws errors about the form, so the form is at fault.
    if (error instanceof Problem || hasTakerFailed) throw error;
    throw malformedForm(message('form-unreadable'));
  }
  if (!taken) throw malformedForm(message('form-without-file'));
  return taken.result;
}
