import type { EntityManager } from 'typeorm';
import { SUBJECT_NAME } from './subject-name.sql.js';
import type { Keys } from '../../platform/pages/keyset.js';
import type { AuditEntry } from '../../entities/audit-entry.entity.js';

export interface AuditRow extends Omit<AuditEntry, 'fleetId' | 'at'> {
  /** In microseconds. A JavaScript date would lose the last three digits. */
  at: string;
  /** The token's name. */
  tokenName: string | null;
  /** Whose token it was. */
  personId: string | null;
  personName: string | null;
  subjectName: string | null;
}

export interface AuditFilters {
  kind?: string;
  id?: string;
  actor?: string;
  action?: string;
  /** Start of the time range, included. */
  from?: string;
  /** End of the time range, not included. */
  to?: string;
}

/** Audit entries after the given position (instant, id), newest first. */
export function auditRows(
  manager: EntityManager,
  fleetId: string,
  filters: AuditFilters,
  after: Keys<'at' | 'id'> | null,
  limit: number,
): Promise<AuditRow[]> {
  const values: unknown[] = [fleetId, limit];
  const conditions = ['e.fleet_id = $1'];
  const narrow = (condition: (place: string) => string, value: string | undefined): void => {
    if (value !== undefined) conditions.push(condition(`$${values.push(value)}`));
  };
  narrow((place) => `e.kind = ${place}`, filters.kind);
  narrow((place) => `e.subject_id = ${place}::uuid`, filters.id);
  narrow((place) => `e.actor = ${place}`, filters.actor);
  narrow((place) => `e.action = ${place}`, filters.action);
  narrow((place) => `e.at >= ${place}::timestamptz`, filters.from);
  narrow((place) => `e.at < ${place}::timestamptz`, filters.to);
  if (after)
    conditions.push(
      `(e.at, e.id) < ($${values.push(after.at)}::timestamptz, $${values.push(after.id)}::uuid)`,
    );
  return manager.query<AuditRow[]>(
    `select e.id, to_char(e.at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as at, e.actor_kind as "actorKind", e.actor, e.role,
       e.request_id as "requestId", e.kind, e.subject_id as "subjectId", e.action, e.changes, t.name as "tokenName", p.id as "personId", p.name as "personName", ${SUBJECT_NAME} as "subjectName"
     from (select * from audit_entries e where ${conditions.join(' and ')} order by e.at desc, e.id desc limit $2) e
     left join access_tokens t on e.actor_kind = 'token' and t.fleet_id = $1 and t.id::text = e.actor
     left join people p on p.fleet_id = $1 and p.id = coalesce(t.person_id, case e.actor_kind when 'person' then e.actor::uuid end)
     order by e.at desc, e.id desc`,
    values,
  );
}
