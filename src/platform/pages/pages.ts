import { ApiProperty } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { badQuery } from '../problems/problem.js';
import { matchedPathOf, queryOf } from '../routing/request-path.js';
import { message } from './messages.js';

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
  if (!/^\d{1,4}$/.test(limit) || size < 1 || size > MAX_PAGE)
    throw badQuery('limit', message('page-limit-out-of-range', { max: MAX_PAGE }));
  return size;
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
