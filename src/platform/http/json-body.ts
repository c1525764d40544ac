import type { FastifyInstance } from 'fastify';
import { Problem } from './problem.js';

const MAX_DEPTH = 24;
/** What PostgreSQL cannot keep as text. */
// oxlint-disable-next-line no-control-regex -- NUL is the very thing looked for
export const UNSTORABLE = /\u0000|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/;

/** Whether a field's name is that of something every object has, which would be dropped without a word or reach into it. */
export function isForbiddenKey(key: string): boolean {
  return key === 'prototype' || Object.hasOwn(Object.prototype, key);
}

function escapePointer(key: string): string {
  return key.replaceAll('~', '~0').replaceAll('/', '~1');
}

/**
 * Looks through a parsed body for what no field may hold: characters that PostgreSQL cannot store, keys that would reach into an
 * object's prototype, and nesting that no request needs.
 */
export function inspectBody(root: unknown): void {
  const open: { value: unknown; pointer: string; depth: number }[] = [{ value: root, pointer: '', depth: 0 }];
  for (let next = open.pop(); next; next = open.pop()) {
    const { value, pointer, depth } = next;
    if (typeof value === 'string' && UNSTORABLE.test(value)) {
      const detail = 'has a character that is not text (a NUL or half of a surrogate pair)';
      throw new Problem(422, 'unacceptable-content', `${pointer || 'The body'}: ${detail}`, [
        { pointer, detail },
      ]);
    }
    if (typeof value !== 'object' || value === null) continue;
    if (depth >= MAX_DEPTH) {
      throw new Problem(422, 'unacceptable-content', `The body is nested deeper than ${MAX_DEPTH} levels.`, [
        { pointer, detail: `is nested deeper than ${MAX_DEPTH} levels` },
      ]);
    }
    for (const [key, inner] of Object.entries(value)) {
      const at = `${pointer}/${escapePointer(key)}`;
      if (isForbiddenKey(key) || UNSTORABLE.test(key)) {
        throw new Problem(422, 'unacceptable-content', `The body has a field name that is not taken.`, [
          { pointer: at, detail: 'is not a field that is known here' },
        ]);
      }
      open.push({ value: inner, pointer: at, depth: depth + 1 });
    }
  }
}

function parseJson(text: string): unknown {
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch (error) {
    const where = error instanceof SyntaxError ? error.message : '';
    throw new Problem(400, 'malformed-json', `The body is not JSON: ${where}`);
  }
  inspectBody(body);
  return body;
}

/** Replaces the JSON parser by one that names what is wrong, and takes merge patches as well. */
export function registerJsonBodies(fastify: FastifyInstance): void {
  fastify.removeContentTypeParser(['application/json', 'text/plain']);
  fastify.addContentTypeParser<string>(
    ['application/json', 'application/merge-patch+json'],
    { parseAs: 'string' },
    (_request, text, done) => {
      try {
        done(null, text.trim() === '' ? undefined : parseJson(text));
      } catch (error) {
        done(error as Error);
      }
    },
  );
}
