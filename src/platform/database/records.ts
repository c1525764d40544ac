import type {
  EntityManager,
  EntityTarget,
  FindOptionsWhere,
  ObjectLiteral,
  SelectQueryBuilder,
} from 'typeorm';
import {
  decodeCursor,
  filterDigest,
  type Page,
  pageOf,
  pageSize,
  TEXT_PATTERN,
  UUID_PATTERN,
} from '../pages/pages.js';
import { notFound } from '../problems/problem.js';
import { fleetScope } from '../scope/fleet-scope.js';

interface FleetRow extends ObjectLiteral {
  fleetId: string;
  id: string;
}

/** One row of the current fleet. @throws Problem 404 when there is none */
export async function rowOf<T extends FleetRow>(
  manager: EntityManager,
  entity: EntityTarget<T>,
  id: string,
  what: string,
): Promise<T> {
  const row = await manager.findOneBy(entity, { fleetId: fleetScope().fleetId, id } as FindOptionsWhere<T>);
  if (!row) throw notFound(what);
  return row;
}

/** The row, locked against other writers until the transaction ends. @throws Problem 404 when there is none */
export async function lockedRowOf<T extends FleetRow>(
  tx: EntityManager,
  entity: EntityTarget<T>,
  id: string,
  what: string,
): Promise<T> {
  const row = await tx.findOne(entity, {
    where: { fleetId: fleetScope().fleetId, id } as FindOptionsWhere<T>,
    lock: { mode: 'for_no_key_update' },
  });
  if (!row) throw notFound(what);
  return row;
}

export interface PageQuery {
  limit?: string;
  cursor?: string;
}

/**
 * A page of the fleet's rows in the order of a text column and the id.
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
  const limit = pageSize(query.limit);
  const digest = filterDigest({ list: manager.connection.getMetadata(entity).tableName, ...filters });
  const after = decodeCursor(query.cursor, digest, [TEXT_PATTERN, UUID_PATTERN]);
  const builder = manager
    .createQueryBuilder(entity, 'r')
    .where('r.fleetId = :fleetId', { fleetId: fleetScope().fleetId })
    .orderBy(`r.${column}`)
    .addOrderBy('r.id')
    .limit(limit + 1);
  narrow(builder);
  if (after)
    builder.andWhere(`(r.${column}, r.id) > (:afterKey, :afterId)`, {
      afterKey: after[0],
      afterId: after[1],
    });
  const rows = await builder.getMany();
  return pageOf(rows, limit, (row) => [String(row[column]), row.id], digest, view);
}
