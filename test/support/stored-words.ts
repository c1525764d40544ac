import type pg from 'pg';

/** Types whose values contain no words. Columns of all other types are searched. */
const WORDLESS = [
  ...['uuid', 'uuid[]', 'timestamp with time zone', 'date', 'integer', 'integer[]', 'bigint', 'boolean'],
  ...['double precision', 'double precision[]', 'numeric', 'real', 'smallint', 'bigint[]'],
];

export interface StoredColumn {
  table: string;
  column: string;
  type: string;
}

/**
 * Returns every column of every table in the database that could contain words, digests included.
 */
export async function columnsWithWords(admin: pg.Client): Promise<StoredColumn[]> {
  const { rows } = await admin.query<StoredColumn>(
    `select format('%I.%I', n.nspname, c.relname) as table, a.attname as column, format_type(a.atttypid, null) as type
     from pg_attribute a join pg_class c on c.oid = a.attrelid join pg_namespace n on n.oid = c.relnamespace
     where c.relkind in ('r', 'p') and a.attnum > 0 and not a.attisdropped and n.nspname !~ '^(pg_|information_schema)'
       and format_type(a.atttypid, null) <> all ($1) order by 1, 2`,
    [WORDLESS],
  );
  return rows;
}

/** Returns the columns of the whole database that contain a word, ignoring case. */
export async function columnsHolding(admin: pg.Client, word: string, fleetId?: string): Promise<string[]> {
  const looks = (await columnsWithWords(admin)).map(({ table, column, type }) => {
    const text = type === 'bytea' ? `encode("${column}", 'escape')` : `"${column}"::text`;
    const ofFleet = fleetId === undefined ? '' : ` and to_jsonb(t) ->> 'fleet_id' = '${fleetId}'`;
    return `select '${table.replace('public.', '')}.${column}' as place
      where exists (select from ${table} t where position(lower($1) in lower(${text})) > 0${ofFleet})`;
  });
  const { rows } = await admin.query<{ place: string }>(looks.join(' union all '), [word]);
  return rows.map(({ place }) => place);
}
