import type pg from 'pg';

/** How what is stored in a column is gone through. */
type Storage = 'text' | 'text[]' | 'jsonb' | 'json';

/** Types of columns that hold words, and how they are gone through. */
const WORDS: Record<string, Storage> = {
  ...{ text: 'text', 'character varying': 'text', 'text[]': 'text[]', jsonb: 'jsonb', json: 'json' },
};

/** Types that hold nobody's name: what they hold has no words, or is a digest. */
const WORDLESS = new Set([
  ...['uuid', 'uuid[]', 'timestamp with time zone', 'date', 'integer', 'integer[]', 'bigint'],
  ...['double precision', 'boolean', 'bytea'],
]);

/** What is no text of anybody's and would break where a word of it was replaced. */
const NEVER: Record<string, string[]> = { fleets: ['time_zone', 'units'] };

export interface PersonColumn {
  name: string;
  storage: Storage;
}

/**
 * The columns of a table in which a person can stand.
 *
 * @throws Error on a type that this does not know: what cannot be looked through is not passed over
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
    return [{ name, storage }];
  });
}

/** Letters of all alphabets have their case, whatever the database sorts by. */
const UNICODE = 'collate "pg_c_utf8"';

/** SQL for what a column holds once the person is replaced. */
export function replacedIn({ name, storage }: PersonColumn): string {
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
 * SQL that is true where a row may hold the person in this column; the hint is the parameter of
 * that number.
 */
export function hintedIn({ name, storage }: PersonColumn, parameter: number): string {
  const text = storage === 'json' ? `${name}::jsonb::text` : storage === 'text' ? name : `${name}::text`;
  return `${text} ${UNICODE} ~* $${parameter}`;
}

/** SQL that is true where the person stands in this column. */
export function changedIn(column: PersonColumn): string {
  const cast = column.storage === 'json' ? '::jsonb' : '';
  return `(${replacedIn(column)})${cast} is distinct from ${column.name}${cast}`;
}

/** Makes, for this session alone, the functions that replace a person in text and in documents. */
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
  // A message that waits to be sent is a document that is stored as text: escapes in it would hide
  // where a word begins.
  await client.query(
    `create or replace function pg_temp.without_person(t text) returns text language plpgsql strict immutable as $$
     begin
       if t is not json object and t is not json array then return pg_temp.in_words(t); end if;
       if pg_temp.without_person(t::jsonb) is not distinct from t::jsonb then return t; end if;
       return pg_temp.without_person(t::jsonb)::text;
     end $$`,
  );
}
