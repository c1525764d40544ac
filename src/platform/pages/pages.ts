import { ApiProperty } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { hash } from 'node:crypto';
import { Problem } from '../problems/problem.js';
import { matchedPathOf, queryOf } from '../routing/request-path.js';

/** One page of a list, and the way to the next. */
export interface Page<T> {
  items: T[];
  next: string | null;
}

export const MAX_PAGE = 200;
export const DEFAULT_PAGE = 50;
/** Holds a name of 120 characters, each of which may take six bytes in JSON. */
export const MAX_CURSOR = 1200;

/** Whole numbers arrive as text in a query. */
export function pageSize(limit: string | undefined): number {
  if (limit === undefined) return DEFAULT_PAGE;
  const size = Number(limit);
  if (!/^\d{1,4}$/.test(limit) || size < 1 || size > MAX_PAGE) {
    throw new Problem(400, 'bad-query', `limit: must be a whole number from 1 to ${MAX_PAGE}`, [
      { parameter: 'limit', detail: `must be a whole number from 1 to ${MAX_PAGE}` },
    ]);
  }
  return size;
}

const CURSOR_FAULT = 'is not a cursor from this list; start again without it';

function badCursor(detail = CURSOR_FAULT): Problem {
  return new Problem(400, 'bad-cursor', `cursor: ${detail}`, [{ parameter: 'cursor', detail }]);
}

/** A short digest of the filters a cursor was made under. */
export function filterDigest(filters: Record<string, unknown>): string {
  const parts = Object.entries(filters)
    .filter(([, value]) => value !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1));
  return hash('sha256', JSON.stringify(parts), 'base64url').slice(0, 12);
}

/** A cursor: the sort keys of the last row shown, and the filters under which they mean something. */
export function encodeCursor(keys: readonly (string | number)[], digest: string): string {
  return Buffer.from(JSON.stringify([digest, ...keys])).toString('base64url');
}

/**
 * Reads a cursor back.
 *
 * @param patterns what each key must look like
 * @throws Problem 400 when it is malformed, or belongs to another list or other filters
 */
export function decodeCursor(
  cursor: string | undefined,
  digest: string,
  patterns: readonly RegExp[],
): string[] | null {
  if (cursor === undefined) return null;
  if (cursor.length > MAX_CURSOR) throw badCursor();
  let parts: unknown;
  try {
    parts = JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8'));
  } catch {
    throw badCursor();
  }
  if (
    !Array.isArray(parts) ||
    parts.length !== patterns.length + 1 ||
    !parts.every((part) => typeof part === 'string')
  )
    throw badCursor();
  const [madeUnder, ...keys] = parts;
  if (madeUnder !== digest) throw badCursor('was made under other filters; start again without it');
  if (!keys.every((key, index) => patterns[index]?.test(key))) throw badCursor();
  return keys;
}

export const UUID_PATTERN = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
/** Any text that PostgreSQL can be asked for. */
export const TEXT_PATTERN = /^[^\0]*$/;
export const DATE_PATTERN = /^(infinity|\d{4}-\d{2}-\d{2})$/;
export const INSTANT_PATTERN = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3,6}Z$/;

/** One page out of `limit + 1` rows. */
export function pageOf<Row, Item>(
  rows: Row[],
  limit: number,
  keysOf: (row: Row) => (string | number)[],
  digest: string,
  itemOf: (row: Row) => Item,
): Page<Item> {
  const shown = rows.slice(0, limit);
  const last = shown.at(-1);
  return {
    items: shown.map(itemOf),
    next: rows.length > limit && last ? encodeCursor(keysOf(last), digest) : null,
  };
}

/** Names the next page in a `Link` header (RFC 8288), for clients that follow those. */
export function linkNext(request: FastifyRequest, reply: FastifyReply, next: string | null): void {
  if (next === null) return;
  const asked = new URLSearchParams(queryOf(request));
  asked.set('cursor', next);
  void reply.header('link', `<${matchedPathOf(request)}?${asked.toString()}>; rel="next"`);
}

/** The page class of an item class, for the API document. */
export function pageClass<T>(item: new () => T, name: string): new () => Page<T> {
  class ItemPage implements Page<T> {
    @ApiProperty({ type: () => [item] }) items!: T[];
    @ApiProperty({ type: 'string', nullable: true, description: 'Cursor of the next page; null on the last' })
    next!: string | null;
  }
  Object.defineProperty(ItemPage, 'name', { value: name });
  return ItemPage;
}
