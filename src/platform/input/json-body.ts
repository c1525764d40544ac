import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Message } from '../../domain/message.js';
import { unknownField } from '../fields/wording.js';
import { Problem, unacceptable } from '../problems/problem.js';
import { message } from './messages.js';

/** How deep a body, or an item of a batch, may be nested. */
export const MAX_DEPTH = 24;
/** What PostgreSQL cannot keep as text. */
// oxlint-disable-next-line no-control-regex -- NUL is the very thing looked for
export const UNSTORABLE = /\u0000|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/;

/** What is wrong with text that holds such a character. */
export function notStorable(): Message {
  return message('field-not-storable');
}

/**
 * Whether a field's name is that of something every object has, which would be dropped without a
 * word or reach into it.
 */
export function isForbiddenKey(key: string): boolean {
  return key === 'prototype' || Object.hasOwn(Object.prototype, key);
}

/** A field's name as a step of a pointer (RFC 6901). */
export function escapePointer(key: string): string {
  return key.replaceAll('~', '~0').replaceAll('/', '~1');
}

/** No field takes as many entries: a longer list is not looked at further. */
const MAX_ENTRIES = 10_000;
/**
 * Nor does any object have as many fields. Validating unknown ones takes time that grows with the
 * square of their number.
 */
const MAX_FIELDS = 500;

type Step = string | number;

function refuse(path: readonly Step[], detail: Message): never {
  const pointer = path.map((step) => `/${typeof step === 'number' ? step : escapePointer(step)}`).join('');
  throw unacceptable([{ pointer, detail }]);
}

/**
 * Looks through a parsed body for what no field may hold: characters that PostgreSQL cannot
 * store, keys that would reach into an object's prototype, longer lists and more fields than any
 * request needs, and deeper nesting.
 */
export function inspectBody(root: unknown): void {
  inspect(root, []);
}

function inspect(value: unknown, path: Step[]): void {
  if (typeof value === 'string') {
    if (UNSTORABLE.test(value)) refuse(path, notStorable());
    return;
  }
  if (typeof value !== 'object' || value === null) return;
  if (path.length >= MAX_DEPTH) refuse(path, message('body-too-deep', { most: MAX_DEPTH }));
  if (Array.isArray(value)) {
    const { length: count } = value;
    if (count > MAX_ENTRIES) refuse(path, message('body-list-too-long', { count, most: MAX_ENTRIES }));
    for (const [index, item] of value.entries()) inspectAt(item, index, path);
    return;
  }
  const fields = Object.entries(value);
  if (fields.length > MAX_FIELDS)
    refuse(path, message('body-too-many-fields', { count: fields.length, most: MAX_FIELDS }));
  for (const [key, item] of fields) {
    if (isForbiddenKey(key) || UNSTORABLE.test(key)) refuse([...path, key], unknownField());
    inspectAt(item, key, path);
  }
}

function inspectAt(item: unknown, step: Step, path: Step[]): void {
  path.push(step);
  inspect(item, path);
  path.pop();
}

/**
 * A route's config: its handler inspects the items of a batch one by one, so that a bad one is
 * answered by itself.
 */
export const INSPECTS_ITEMS = { inspectsItems: true } as const;

/** What is wrong with a body of another form where JSON is taken. */
export function jsonNeeded(): Message {
  return message('media-type-json');
}

function parseJson(text: string, isInspected: boolean): unknown {
  let body: unknown;
  try {
    body = JSON.parse(text);
  } catch (error) {
    const reason = error instanceof SyntaxError ? error.message : '';
    throw new Problem(400, 'malformed-json', message('malformed-json', { reason }));
  }
  if (isInspected) inspectBody(body);
  return body;
}

const hasBody = ({ headers }: FastifyRequest): boolean =>
  headers['transfer-encoding'] !== undefined || Number(headers['content-length'] ?? 0) > 0;

/**
 * Refuses compressed bodies, of whatever type: nothing here decompresses, so they would be read as
 * something broken (RFC 9110, 8.4 and 15.5.16).
 */
export function refuseCompressedBodies(fastify: FastifyInstance): void {
  fastify.addHook('preParsing', (request, _reply, payload, done) => {
    const coding = request.headers['content-encoding']?.trim() || 'identity';
    if (coding.toLowerCase() === 'identity' || request.is404 || !hasBody(request)) return done(null, payload);
    const detail = message('body-compressed', { coding: coding.slice(0, 100) });
    const errors = [{ header: 'Content-Encoding', detail }];
    done(new Problem(415, 'content-encoding', detail, errors, { 'accept-encoding': 'identity' }));
  });
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
