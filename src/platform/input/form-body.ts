import type { FastifyRequest } from 'fastify';
import { Problem } from '../problems/problem.js';
import { sent } from './file-body.js';
import { message } from './messages.js';

/** The fields of a form, by name, each with its values in the order in which they came. */
export type FormFields = ReadonlyMap<string, readonly string[]>;

/** Limits of a form that a person fills in. */
const LIMITS = {
  ...{ files: 1, fields: 16, parts: 18, headerPairs: 50 },
  ...{ fieldNameSize: 40, fieldSize: 4096, fileSize: Number.MAX_SAFE_INTEGER },
};

type Take<T> = (fields: FormFields, file: AsyncIterable<Buffer> | null) => Promise<T>;

/**
 * Reads a form that ends with a file, as browsers send it: the fields first, then the file as it
 * arrives. A file that the person left empty counts as none.
 *
 * @param take is called once, when all fields are known; `file` is null when there is none
 * @throws Problem 400 when the form is incomplete, or contains anything else
 */
export async function receiveForm<T>(request: FastifyRequest, take: Take<T>): Promise<T> {
  const fields = new Map<string, string[]>();
  let taken: { result: T } | null = null;
  let isTaking = false;
  try {
    for await (const part of request.parts({ limits: LIMITS })) {
      // What the file belongs to is recorded by now, so a further field would come too late.
      if (taken !== null) break;
      if (part.type === 'file') {
        isTaking = true;
        taken = { result: await take(fields, await contentOf(sent(part.file))) };
        isTaking = false;
      } else fields.set(part.fieldname, [...(fields.get(part.fieldname) ?? []), String(part.value)]);
    }
  } catch (error) {
    if (error instanceof Problem || isTaking) throw error;
    // What was taken stays, whatever is wrong with the rest.
    if (taken === null) throw malformed();
  } finally {
    // Discard the rest of the body, so that the connection can serve the next request.
    request.raw.unpipe();
    request.raw.resume();
  }
  return taken === null ? take(fields, null) : taken.result;
}

/** Null for a file without content, which browsers send when none was chosen. */
async function contentOf(chunks: AsyncGenerator<Buffer>): Promise<AsyncIterable<Buffer> | null> {
  const first = await chunks.next();
  return first.done ? null : startingWith(first.value, chunks);
}

async function* startingWith(first: Buffer, rest: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  yield first;
  yield* rest;
}

function malformed(): Problem {
  const detail = message('form-unreadable');
  return new Problem(400, 'malformed-form', detail, [{ pointer: '', detail }]);
}
