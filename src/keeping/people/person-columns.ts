import type pg from 'pg';
import { keptWhile } from './kept-by-law.js';

/** How to search the content of a column. */
type Storage = 'text' | 'text[]' | 'jsonb' | 'json';

/** Column types that can hold words, and how to search them. */
const WORDS: Record<string, Storage> = {
  ...{ text: 'text', 'character varying': 'text', 'text[]': 'text[]', jsonb: 'jsonb', json: 'json' },
};

/** Types that cannot hold a name: they have no words, or are a digest. */
const WORDLESS = new Set([
  ...['uuid', 'uuid[]', 'timestamp with time zone', 'date', 'integer', 'integer[]', 'bigint'],
  ...['double precision', 'double precision[]', 'boolean', 'bytea'],
]);

/** Columns whose words are not about people, and which would break if a word were replaced. */
const NEVER: Record<string, string[]> = { fleets: ['time_zone', 'units'] };

export interface PersonColumn {
  name: string;
  storage: Storage;
  /** SQL that is true for rows whose name is kept by law; null: for none. */
  keptWhile: string | null;
}

/**
 * Returns the columns of a table that can mention a person.
 *
 * @throws Error on an unknown type: a column that cannot be searched must not be skipped
 */
export function personColumns(
  table: string,
  columns: readonly { name: string; type: string }[],
): PersonColumn[] {
  return columns.flatMap(({ name, type }) => {
    if (WORDLESS.has(type) || NEVER[table]?.includes(name)) return [];
    const storage = WORDS[type];
    if (!storage)
      throw new Error(`${table}.${name} is of the type ${type}, which is not looked through for people`);
    return [{ name, storage, keptWhile: keptWhile(table, name) }];
  });
}

/** Case folding for all alphabets, whatever collation the database has. */
const UNICODE = 'collate "pg_c_utf8"';

/** SQL for the content of a column after the person is replaced. */
export function replacedIn(column: PersonColumn): string {
  const { name, keptWhile: kept } = column;
  return kept === null
    ? withoutPerson(column)
    : `case when ${kept} then ${name} else ${withoutPerson(column)} end`;
}

/** SQL that is true when a column mentions the person and keeps the name by law. */
export function keptIn(column: PersonColumn): string {
  return `${column.keptWhile ?? 'false'} and (${withoutPerson(column)}) is distinct from ${column.name}`;
}

function withoutPerson({ name, storage }: Omit<PersonColumn, 'keptWhile'>): string {
  switch (storage) {
    case 'text':
      return `pg_temp.without_person(${name})`;
    case 'text[]':
      return `case when ${name} is null then null else array(select pg_temp.without_person(e) from unnest(${name}) with ordinality as u(e, n) order by n) end`;
    case 'jsonb':
      return `pg_temp.without_person(${name})`;
    case 'json':
      return `pg_temp.without_person(${name}::jsonb)::json`;
  }
}

/**
 * SQL that is true when the column may mention the person; `parameter` is the number of the
 * parameter with the hint.
 */
export function hintedIn({ name, storage }: PersonColumn, parameter: number): string {
  const text = storage === 'json' ? `${name}::jsonb::text` : storage === 'text' ? name : `${name}::text`;
  return `${text} ${UNICODE} ~* $${parameter}`;
}

/** SQL that is true when the column mentions the person. */
export function changedIn(column: PersonColumn): string {
  const cast = column.storage === 'json' ? '::jsonb' : '';
  return `(${replacedIn(column)})${cast} is distinct from ${column.name}${cast}`;
}

/**
 * Creates the functions that replace a person in text and in documents. They exist in this session
 * only.
 */
export async function makeReplacing(
  client: pg.Client,
  patterns: { names: string | null; addresses: string | null },
  standIns: { name: string; address: string },
): Promise<void> {
  const replacing = (text: string, pattern: string | null, by: string): string =>
    pattern === null
      ? text
      : `regexp_replace(${text} ${UNICODE}, ${client.escapeLiteral(pattern)}, ${client.escapeLiteral(by)}, 'gi')`;
  const inAddresses = replacing('t', patterns.addresses, standIns.address);
  await client.query(
    `create or replace function pg_temp.in_words(t text) returns text language sql strict immutable as
     $words$ select ${replacing(inAddresses, patterns.names, standIns.name)} $words$`,
  );
  await client.query(
    `create or replace function pg_temp.without_person(d jsonb) returns jsonb language plpgsql strict immutable as $$
     begin
       case jsonb_typeof(d)
         when 'string' then return to_jsonb(pg_temp.in_words(d #>> '{}'));
         when 'array' then return (select coalesce(jsonb_agg(pg_temp.without_person(e) order by n), '[]')
           from jsonb_array_elements(d) with ordinality as a(e, n));
         when 'object' then return (select coalesce(jsonb_object_agg(pg_temp.in_words(k), pg_temp.without_person(v)), '{}')
           from jsonb_each(d) as o(k, v));
         else return d;
       end case;
     end $$`,
  );
  // A message waiting to be sent is a JSON document stored as text. Escapes in it would hide where
  // a word begins, so it is parsed first.
  await client.query(
    `create or replace function pg_temp.without_person(t text) returns text language plpgsql strict immutable as $$
     begin
       if t is not json object and t is not json array then return pg_temp.in_words(t); end if;
       if pg_temp.without_person(t::jsonb) is not distinct from t::jsonb then return t; end if;
       return pg_temp.without_person(t::jsonb)::text;
     end $$`,
  );
}
