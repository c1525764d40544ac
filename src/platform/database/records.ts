import type {
  EntityManager,
  EntityTarget,
  FindOptionsWhere,
  ObjectLiteral,
  SelectQueryBuilder,
} from 'typeorm';
import type { Page } from '../pages/pages.js';
import { notFound } from '../problems/problem.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { KEY, Keyset, type KeysetPage, type PageQuery } from '../pages/keyset.js';
import type { RecordName } from '../problems/messages.js';

interface FleetRow extends ObjectLiteral {
  fleetId: string;
  id: string;
}

/** Returns one row of the current fleet. @throws Problem 404 when there is none */
export async function rowOf<T extends FleetRow>(
  manager: EntityManager,
  entity: EntityTarget<T>,
  id: string,
  what: RecordName,
): Promise<T> {
  const row = await manager.findOneBy(entity, { fleetId: fleetScope().fleetId, id } as FindOptionsWhere<T>);
  if (!row) throw notFound(what);
  return row;
}

/**
 * Returns the row and locks it against other writers until the transaction ends. @throws Problem
 * 404 when there is none
 */
export async function lockedRowOf<T extends FleetRow>(
  tx: EntityManager,
  entity: EntityTarget<T>,
  id: string,
  what: RecordName,
): Promise<T> {
  const row = await tx.findOne(entity, {
    where: { fleetId: fleetScope().fleetId, id } as FindOptionsWhere<T>,
    lock: { mode: 'for_no_key_update' },
  });
  if (!row) throw notFound(what);
  return row;
}

export type { PageQuery };

/** Reads the rows of a page in the order of its keys, which are properties of the entity. */
export function readPage<T extends FleetRow, Key extends keyof T & string>(
  builder: SelectQueryBuilder<T>,
  { names, after, rowsToRead }: KeysetPage<Key>,
  direction: 'ASC' | 'DESC',
): Promise<T[]> {
  const columns = names.map((name) => `${builder.alias}.${name}`);
  for (const column of columns) builder.addOrderBy(column, direction);
  if (after) {
    const places = names.map((name) => `:after_${name}`);
    const values = Object.fromEntries(names.map((name) => [`after_${name}`, after[name]]));
    const isPast = direction === 'ASC' ? '>' : '<';
    builder.andWhere(`(${columns.join(', ')}) ${isPast} (${places.join(', ')})`, values);
  }
  return builder.limit(rowsToRead).getMany();
}

/**
 * A page of the fleet's rows, ordered by a text column and then by id.
 *
 * @param column the property to sort by; an index on (fleet, column) makes the page a range scan
 * @param filters what the cursor is bound to
 */
export async function listBy<T extends FleetRow, V>(
  manager: EntityManager,
  entity: EntityTarget<T>,
  column: keyof T & string,
  query: PageQuery,
  filters: Record<string, unknown>,
  narrow: (builder: SelectQueryBuilder<T>) => void,
  view: (row: T) => V,
): Promise<Page<V>> {
  const list = manager.connection.getMetadata(entity).tableName;
  const page = new Keyset<string>(list, { [column]: KEY.text, id: KEY.uuid }).page(query, filters);
  const builder = manager
    .createQueryBuilder(entity, 'r')
    .where('r.fleetId = :fleetId', { fleetId: fleetScope().fleetId });
  narrow(builder);
  const rows = await readPage(builder, page, 'ASC');
  return page.ofKeyed(rows, (row) => ({ [column]: String(row[column]), id: row.id }), view);
}
