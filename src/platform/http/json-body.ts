import type { FastifyInstance } from 'fastify';
import { Problem } from './problem.js';

/** How deep a body, or an item of a batch, may be nested. */
export const MAX_DEPTH = 24;
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
 *
 * @param at where it stands in the body, when it is a part of one
 */
export function inspectBody(root: unknown, at = ''): void {
  const open: { value: unknown; pointer: string; depth: number }[] = [{ value: root, pointer: at, depth: 0 }];
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
    for (const [key, item] of Object.entries(value)) {
      const inner = `${pointer}/${escapePointer(key)}`;
      if (isForbiddenKey(key) || UNSTORABLE.test(key)) {
        throw new Problem(422, 'unacceptable-content', `The body has a field name that is not taken.`, [
          { pointer: inner, detail: 'is not a field that is known here' },
        ]);
      }
      open.push({ value: item, pointer: inner, depth: depth + 1 });
    }
  }
}

/** A route's config: its handler inspects the items of a batch one by one, so that a bad one is answered by itself. */
export const INSPECTS_ITEMS = { inspectsItems: true } as const;

function parseJson(text: string, isInspected: boolean): unknown {
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch (error) {
    const where = error instanceof SyntaxError ? error.message : '';
    throw new Problem(400, 'malformed-json', `The body is not JSON: ${where}`);
  }
  if (isInspected) inspectBody(body);
  return body;
}

/** Replaces the JSON parser by one that names what is wrong, and takes merge patches as well. */
export function registerJsonBodies(fastify: FastifyInstance): void {
  fastify.removeContentTypeParser(['application/json', 'text/plain']);
  fastify.addContentTypeParser<string>(
    ['application/json', 'application/merge-patch+json'],
    { parseAs: 'string' },
    (request, text, done) => {
      try {
        const { inspectsItems } = request.routeOptions.config as Partial<typeof INSPECTS_ITEMS>;
        done(null, text.trim() === '' ? undefined : parseJson(text, inspectsItems !== true));
      } catch (error) {
        done(error as Error);
      }
    },
  );
}
