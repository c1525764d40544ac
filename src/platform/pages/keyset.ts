import { hash } from 'node:crypto';
import { dateFault } from '../fields/instant-fault.js';
import { UUID_PATTERN } from '../fields/uuid.js';
import { MAX_CURSOR, type Page, pageSize } from './pages.js';
import { badQuery, type Problem } from '../problems/problem.js';
import { message } from './messages.js';

export interface PageQuery {
  limit?: string;
  cursor?: string;
}

/** Whether a text is a valid sort key of its kind, safe to use in a query. */
type KeyCheck = (text: string) => boolean;

const INSTANT = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3,6}Z$/;

/**
 * Whether the instant exists. Any year is accepted: the limits on posted times apply in their own
 * time zones, so the year in UTC may be outside them.
 */
function isInstant(text: string): boolean {
  if (!INSTANT.test(text) || text.startsWith('0000')) return false;
  const at = new Date(text);
  return !Number.isNaN(at.getTime()) && at.toISOString().slice(0, 19) === text.slice(0, 19);
}

/** The kinds of sort keys. */
export const KEY = {
  uuid: (text) => UUID_PATTERN.test(text),
  text: (text) => !text.includes('\0'),
  /** In milliseconds, or in microseconds as PostgreSQL writes them. */
  instant: isInstant,
  /** Rows without a date sort as `infinity`. */
  date: (text) => text === 'infinity' || dateFault(text) === null,
  count: (text) => /^\d{1,9}$/.test(text),
} as const satisfies Record<string, KeyCheck>;

export const oneOf =
  (...words: readonly string[]): KeyCheck =>
  (text) =>
    words.includes(text);

export type Keys<Key extends string> = Readonly<Record<Key, string>>;
type Sorted<Key extends string> = Readonly<Record<Key, string | number | Date>>;

/**
 * The sort keys of a list. The last one must be unique. A cursor holds the keys of the last row
 * shown, and a digest of the filters that it was made with.
 *
 * @example new Keyset('audit', { at: KEY.instant, id: KEY.uuid })
 */
export class Keyset<Key extends string> {
  constructor(
    private readonly list: string,
    private readonly checks: Readonly<Record<Key, KeyCheck>>,
  ) {}

  get names(): Key[] {
    return Object.keys(this.checks) as Key[];
  }

  /**
   * Returns the page that a query asks for.
   *
   * @param filters the other filters of the list
   * @throws Problem 400 when the cursor is malformed, or belongs to another list or other filters
   */
  page(
    { limit, cursor }: PageQuery,
    filters: Record<string, unknown> = {},
    size = pageSize(limit),
  ): KeysetPage<Key> {
    const digest = digestOf({ list: this.list, ...filters });
    const after = cursor === undefined ? null : this.decode(cursor, digest);
    return new KeysetPage(size, after, this.names, digest);
  }

  private decode(cursor: string, digest: string): Keys<Key> {
    const [madeUnder, ...values] = partsOf(cursor);
    const { names } = this;
    if (values.length !== names.length) throw badCursor();
    if (madeUnder !== digest) throw badCursor(message('cursor-of-other-filters'));
    const keys = Object.fromEntries(names.map((name, index) => [name, values[index] ?? ''])) as Keys<Key>;
    if (!names.every((name) => this.checks[name](keys[name]))) throw badCursor();
    return keys;
  }
}

/** One page of a list: the rows to read, and the answer. */
export class KeysetPage<Key extends string> {
  constructor(
    readonly limit: number,
    /** The keys of the last row of the previous page; null on the first page. */
    readonly after: Keys<Key> | null,
    readonly names: readonly Key[],
    private readonly digest: string,
  ) {}

  /** Reads one row more than the page shows, to find out whether there is a next page. */
  get rowsToRead(): number {
    return this.limit + 1;
  }

  of<Row extends Sorted<Key>, Item>(rows: readonly Row[], itemOf: (row: Row) => Item): Page<Item> {
    return this.ofKeyed(rows, (row) => row, itemOf);
  }

  /** Like `of`, for rows whose properties are not named like their keys. */
  ofKeyed<Row, Item>(
    rows: readonly Row[],
    keysOf: (row: Row) => Sorted<Key>,
    itemOf: (row: Row) => Item,
  ): Page<Item> {
    const shown = rows.slice(0, this.limit);
    const last = rows.length > this.limit ? shown.at(-1) : undefined;
    return { items: shown.map(itemOf), next: last === undefined ? null : this.cursorAfter(keysOf(last)) };
  }

  private cursorAfter(row: Sorted<Key>): string {
    const keys = this.names.map((name) => {
      const key: string | number | Date = row[name];
      return key instanceof Date ? key.toISOString() : String(key);
    });
    return Buffer.from(JSON.stringify([this.digest, ...keys])).toString('base64url');
  }
}

function badCursor(detail = message('cursor-not-of-list')): Problem {
  return badQuery('cursor', detail, 'bad-cursor');
}

function partsOf(cursor: string): string[] {
  if (cursor.length > MAX_CURSOR) throw badCursor();
  let parts: unknown;
  try {
    parts = JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8'));
  } catch {
    throw badCursor();
  }
  if (!Array.isArray(parts) || !parts.every((part) => typeof part === 'string')) throw badCursor();
  return parts;
}

function digestOf(filters: Record<string, unknown>): string {
  const parts = Object.entries(filters)
    .filter(([, value]) => value !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1));
  return hash('sha256', JSON.stringify(parts), 'base64url').slice(0, 12);
}
