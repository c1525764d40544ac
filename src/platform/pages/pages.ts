import { ApiProperty } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { badQuery } from '../problems/problem.js';
import { matchedPathOf, queryOf } from '../routing/request-path.js';
import { message } from './messages.js';

/** One page of a list, and the cursor of the next. */
export interface Page<T> {
  items: T[];
  next: string | null;
}

export const MAX_PAGE = 200;
export const DEFAULT_PAGE = 50;
/** Large enough for a name of 120 characters that take six bytes each in JSON. */
export const MAX_CURSOR = 1200;

/** Reads the page size from the query, where numbers arrive as text. */
export function pageSize(limit: string | undefined): number {
  if (limit === undefined) return DEFAULT_PAGE;
  const size = Number(limit);
  if (!/^\d{1,4}$/.test(limit) || size < 1 || size > MAX_PAGE)
    throw badQuery('limit', message('page-limit-out-of-range', { max: MAX_PAGE }));
  return size;
}

/** Adds the next page as a `Link` header (RFC 8288), for clients that follow such links. */
export function linkNext(request: FastifyRequest, reply: FastifyReply, next: string | null): void {
  if (next === null) return;
  const asked = new URLSearchParams(queryOf(request));
  asked.set('cursor', next);
  void reply.header('link', `<${matchedPathOf(request)}?${asked.toString()}>; rel="next"`);
}

/** Makes the page class of an item class, for the API document. */
export function pageClass<T>(item: new () => T, name: string): new () => Page<T> {
  class ItemPage implements Page<T> {
    @ApiProperty({ type: () => [item] }) items!: T[];
    @ApiProperty({ type: 'string', nullable: true, description: 'Cursor of the next page; null on the last' })
    next!: string | null;
  }
  Object.defineProperty(ItemPage, 'name', { value: name });
  return ItemPage;
}
