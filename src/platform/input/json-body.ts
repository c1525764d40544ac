import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Message } from '../../domain/message.js';
import { unknownField } from '../fields/wording.js';
import { Problem, unacceptable } from '../problems/problem.js';
import { message } from './messages.js';

/** Maximum nesting of a body, or of one item of a batch. */
export const MAX_DEPTH = 24;
/** Characters that PostgreSQL cannot store as text. */
// oxlint-disable-next-line no-control-regex -- NUL is the very thing looked for
export const UNSTORABLE = /\u0000|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/;

/** The fault of text that contains such a character. */
export function notStorable(): Message {
  return message('field-not-storable');
}

/**
 * Whether a field has the name of a member that every object has. Such a field would be dropped
 * silently, or change the object's prototype.
 */
export function isForbiddenKey(key: string): boolean {
  return key === 'prototype' || Object.hasOwn(Object.prototype, key);
}

/** Escapes a field's name for a JSON Pointer (RFC 6901). */
export function escapePointer(key: string): string {
  return key.replaceAll('~', '~0').replaceAll('/', '~1');
}

/** No field accepts this many entries, so longer lists are refused at once. */
const MAX_ENTRIES = 10_000;
/**
 * No object has this many fields. Validation time grows with the square of the number of unknown
 * fields.
 */
const MAX_FIELDS = 500;

type Step = string | number;

function refuse(path: readonly Step[], detail: Message): never {
  const pointer = path.map((step) => `/${typeof step === 'number' ? step : escapePointer(step)}`).join('');
  throw unacceptable([{ pointer, detail }]);
}

/**
 * Checks a parsed body for what no field may contain: characters that PostgreSQL cannot store, keys
 * that would change an object's prototype, and lists, objects or nesting larger than any request
 * needs.
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
 * The config of a route whose handler checks the items of a batch one by one. Each bad item then
 * gets an answer of its own.
 */
export const INSPECTS_ITEMS = { inspectsItems: true } as const;

/** The fault of a body that is not JSON where JSON is required. */
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
 * Refuses compressed bodies of any type. The service does not decompress, so it would take them for
 * broken files (RFC 9110, 8.4 and 15.5.16).
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

/**
 * Replaces Fastify's JSON parser by one that explains what is wrong. It accepts merge patches too.
 */
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
