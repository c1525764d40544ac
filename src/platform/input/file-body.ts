import multipart from '@fastify/multipart';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Readable } from 'node:stream';
import { Problem } from '../problems/problem.js';

/** A route's config: its body is a file, which its handler reads as it arrives. */
export const TAKES_FILE = { takesFile: true } as const;

const FORM = 'multipart/form-data';
/** As what a file may be sent by itself; what it is, its content tells. */
export const FILE_TYPES = [
  'image/jpeg',
  'image/png',
  'image/webp',
  'application/pdf',
  'application/octet-stream',
];

const mediaTypeOf = (request: FastifyRequest): string =>
  (request.headers['content-type'] ?? '').split(';', 1)[0]?.trim().toLowerCase() ?? '';

/** Lets routes that say so take files, by themselves or in a form; any other route refuses them. */
export async function registerFileBodies(fastify: FastifyInstance): Promise<void> {
  await fastify.register(multipart);
  // The handler reads the request itself: a body in between would be one in memory.
  fastify.addContentTypeParser(FILE_TYPES, (_request, _payload, done) => done(null));
  fastify.addHook('preParsing', (request, _reply, payload, done) => {
    const { takesFile } = request.routeOptions.config as Partial<typeof TAKES_FILE>;
    const type = mediaTypeOf(request);
    const isFile = type === FORM || FILE_TYPES.includes(type);
    if (takesFile && !isFile) {
      const detail = `${type === '' ? 'is missing' : `is ${type}`}; ${[FORM, ...FILE_TYPES].join(', ')} is needed`;
      const problem = new Problem(415, 'media-type', `Content-Type ${detail}.`, [
        { header: 'Content-Type', detail },
      ]);
      return done(problem);
    }
    if (!takesFile && isFile)
      return done(new Problem(415, 'media-type', 'This path takes application/json.'));
    done(null, payload);
  });
}

/** The bytes as the client sends them; that they do not come whole is the client's affair. */
async function* sent(stream: Readable): AsyncGenerator<Buffer> {
  try {
    // Left early, the request must not be destroyed: its connection carries the answer that says
    // why.
    for await (const chunk of stream.iterator({ destroyOnReturn: false })) yield chunk as Buffer;
  } catch {
    throw new Problem(
      400,
      'upload-broken',
      'The upload ended before the file did. Nothing was stored; send it again.',
    );
  }
}

function malformedForm(detail: string): Problem {
  return new Problem(400, 'malformed-form', `The form ${detail}. Nothing was stored.`, [
    { pointer: '', detail: `the form ${detail}` },
  ]);
}

/**
 * Hands the file of a request to `take` as it arrives: the body itself, or the one file of a form.
 *
 * @throws Problem 400 when it does not come whole, or a form holds anything else
 */
export async function receiveFile<T>(
  request: FastifyRequest,
  take: (chunks: AsyncIterable<Buffer>) => Promise<T>,
): Promise<T> {
  try {
    return mediaTypeOf(request) === FORM
      ? await receiveFromForm(request, take)
      : await take(sent(request.raw));
  } finally {
    // What is left of the body is let pass, so that the connection serves the next request.
    request.raw.unpipe();
    request.raw.resume();
  }
}

async function receiveFromForm<T>(
  request: FastifyRequest,
  take: (chunks: AsyncIterable<Buffer>) => Promise<T>,
): Promise<T> {
  let taken: { result: T } | null = null;
  let hasTakerFailed = false;
  const limits = { files: 2, fields: 1, parts: 3, fieldSize: 1024, fileSize: Number.MAX_SAFE_INTEGER };
  try {
    for await (const part of request.parts({ limits })) {
      if (part.type !== 'file')
        throw malformedForm('has a field beside the file, and it would be dropped; send the file alone');
      if (taken) throw malformedForm('holds more than one file; send one at a time');
      hasTakerFailed = true;
      taken = { result: await take(sent(part.file)) };
      hasTakerFailed = false;
    }
  } catch (error) {
    // The reader of forms knows nothing but the form: whatever it throws, the form is at fault.
    if (error instanceof Problem || hasTakerFailed) throw error;
    throw malformedForm('cannot be read as multipart/form-data');
  }
  if (!taken) throw malformedForm('holds no file');
  return taken.result;
}
