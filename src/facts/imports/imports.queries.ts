import type { EntityManager } from 'typeorm';
import type { Keys } from '../../platform/pages/keyset.js';
import type { Import } from '../../entities/import.entity.js';

/** An import with the names of the tokens or people that sent it and undid it. */
export interface ImportRow extends Omit<Import, 'fleetId' | 'importedAt' | 'sha256'> {
  /** With microseconds, which a JavaScript date would lose. */
  importedAt: string;
  sha256: string;
  tokenName: string | null;
  undoneByTokenName: string | null;
}

/** Imports, the newest first, starting after `after` (instant, id). */
export function importRows(
  manager: EntityManager,
  fleetId: string,
  { id, kind }: { id?: string; kind?: string },
  after: Keys<'importedAt' | 'id'> | null,
  limit: number,
): Promise<ImportRow[]> {
  const values: unknown[] = [fleetId, limit];
  const conditions = ['i.fleet_id = $1'];
  if (id !== undefined) conditions.push(`i.id = $${values.push(id)}::uuid`);
  if (kind !== undefined) conditions.push(`i.kind = $${values.push(kind)}`);
  if (after)
    conditions.push(
      `(i.imported_at, i.id) < ($${values.push(after.importedAt)}::timestamptz, $${values.push(after.id)}::uuid)`,
    );
  return manager.query<ImportRow[]>(
    `select i.id, i.kind, i.file_name as "fileName", encode(i.sha256, 'hex') as sha256,
       to_char(i.imported_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as "importedAt", i.actor_kind as "actorKind", i.actor, i.role,
       i.rows, i.accepted, i.duplicate, i.held, i.rejected, i.reading, i.undone_at as "undoneAt", i.undone_by_kind as "undoneByKind",
       i.undone_by as "undoneBy", i.undone_by_role as "undoneByRole", i.undone_vehicles as "undoneVehicles",
       i.undone_usage_readings as "undoneUsageReadings", i.undone_job_reports as "undoneJobReports",
       coalesce(t.name, p.name) as "tokenName", coalesce(w.name, u.name) as "undoneByTokenName"
     from (select * from imports i where ${conditions.join(' and ')} order by i.imported_at desc, i.id desc limit $2) i
     left join access_tokens t on i.actor_kind = 'token' and t.fleet_id = $1 and t.id::text = i.actor
     left join access_tokens w on i.undone_by_kind = 'token' and w.fleet_id = $1 and w.id::text = i.undone_by
     left join people p on p.fleet_id = $1 and p.id = case i.actor_kind when 'person' then i.actor::uuid end
     left join people u on u.fleet_id = $1 and u.id = case i.undone_by_kind when 'person' then i.undone_by::uuid end
     order by i.imported_at desc, i.id desc`,
    values,
  );
}
