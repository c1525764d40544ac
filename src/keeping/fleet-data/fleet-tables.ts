import type pg from 'pg';

/**
 * A table that holds rows of fleets, read from the PostgreSQL catalogue, so tables that are added
 * later are included automatically.
 */
export interface FleetTable {
  name: string;
  /** The column that holds the fleet's id. */
  fleetColumn: 'fleet_id' | 'id';
  columns: { name: string; type: string }[];
  /** Columns of the primary key. */
  key: string[];
  /** Other tables that this table's rows refer to. */
  refersTo: string[];
  /** Whether the owner of the tables may see and change its rows. */
  isOpenToOwner: boolean;
}

/** Returns every table with rows of fleets, sorted by name. */
export async function fleetTables(client: pg.Client): Promise<FleetTable[]> {
  const { rows } = await client.query<FleetTable>(
    `select c.relname as name, case when c.relname = 'fleets' then 'id' else 'fleet_id' end as "fleetColumn",
       (select json_agg(json_build_object('name', a.attname, 'type', format_type(a.atttypid, null)) order by a.attnum)
        from pg_attribute a where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped) as columns,
       (select json_agg(a.attname order by k.n) from pg_index i, unnest(i.indkey) with ordinality k(attnum, n)
        join pg_attribute a on a.attnum = k.attnum where i.indrelid = c.oid and i.indisprimary and a.attrelid = c.oid) as key,
       (select coalesce(json_agg(distinct f.confrelid::regclass::text), '[]') from pg_constraint f
        where f.conrelid = c.oid and f.contype = 'f' and f.confrelid <> c.oid) as "refersTo",
       exists (select from pg_policy p where p.polrelid = c.oid and p.polcmd = '*' and p.polpermissive
         and 'weephole_owner'::regrole = any(p.polroles)) as "isOpenToOwner"
     from pg_class c
     where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and (c.relname = 'fleets' or exists (
       select from pg_attribute a where a.attrelid = c.oid and a.attname = 'fleet_id' and not a.attisdropped))
     order by c.relname collate "C"`,
  );
  return rows;
}

/**
 * Sorts tables so that each comes before those it refers to, which is the order for deleting rows.
 * `fleets` comes last.
 *
 * @throws Error when tables refer to one another in a circle
 */
export function referringFirst(tables: readonly FleetTable[]): FleetTable[] {
  const ordered: FleetTable[] = [];
  let left = [...tables];
  while (left.length > 0) {
    const free = left.filter(({ name }) => !left.some(({ refersTo }) => refersTo.includes(name)));
    if (free.length === 0)
      throw new Error(`tables refer to one another in a circle: ${left.map(({ name }) => name).join(', ')}`);
    ordered.push(...free.filter(({ name }) => name !== 'fleets'));
    left = left.filter((table) => !free.includes(table));
  }
  return [...ordered, ...tables.filter(({ name }) => name === 'fleets')];
}
