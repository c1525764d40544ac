import type { EntityManager } from 'typeorm';
import { DUE_LINE_COLUMNS, type DueLineRow, USAGE_JOIN } from '../../conclusions/due-list/due-line-row.js';
import type { Role } from '../../platform/scope/roles.js';
import type { EventPosition } from './event-position.js';

/** One subject of an event. */
export interface ToldRow extends EventPosition {
  kind: 'due-line' | 'loss-alert';
  subjectId: string;
  /** The depot that a line was at before it changed; null when it did not move. */
  leftDepotId: string | null;
}

export interface Horizon {
  /** Every transaction before this one has ended. */
  xmin: number;
  /** The next transaction id. A higher id comes from another database. */
  xmax: number;
  /** Whether a committed event has to wait for an older transaction to end. */
  isHeldUp: boolean;
  timeZone: string;
}

const HORIZON = `select pg_snapshot_xmin(s.now)::text::bigint as xmin, pg_snapshot_xmax(s.now)::text::bigint as xmax
  from (select pg_current_snapshot() as now) s`;

/**
 * Returns how far the fleet's events can be read now, and its time zone. A single statement, so
 * that both belong to the same moment.
 */
export async function horizonOf(manager: EntityManager, fleetId: string): Promise<Horizon | null> {
  const [horizon] = await manager.query<Horizon[]>(
    `select h.xmin, h.xmax, f.time_zone as "timeZone", false as "isHeldUp" from (${HORIZON}) h, fleets f where f.id = $1`,
    [fleetId],
  );
  return horizon ?? null;
}

export function toldStatement(
  fleetId: string,
  after: EventPosition,
  limit: number,
): { text: string; values: unknown[] } {
  return {
    // The limit is part of the text, so that the query planner knows it.
    text: `with h as materialized (${HORIZON})
     select h.xmin, h.xmax, f.time_zone as "timeZone",
       exists (select from due_list_events e where e.fleet_id = $1 and e.xid >= h.xmin and e.xid < h.xmax) as "isHeldUp",
       t.xid, t.seq, t.n, t.kind, t.subject_id as "subjectId", t.left_depot_id as "leftDepotId"
     from h join fleets f on f.id = $1 left join lateral (
       select e.xid, e.seq, s.n, e.kind, s.subject_id, s.left_depot_id
       from due_list_events e,
         lateral unnest(e.subject_ids, e.left_depot_ids) with ordinality as s (subject_id, left_depot_id, n)
       where e.fleet_id = $1 and e.xid < h.xmin and (e.xid, e.seq) >= ($2::bigint, $3::integer)
         and (e.xid, e.seq, s.n) > ($2::bigint, $3::integer, $4::bigint)
       order by e.xid, e.seq, s.n limit ${limit}) t on true`,
    values: [fleetId, after.xid, after.seq, after.n],
  };
}

/**
 * Returns the events after a position, in order, and how far they reach; null when the fleet does
 * not exist.
 */
export async function toldAfter(
  manager: EntityManager,
  fleetId: string,
  after: EventPosition,
  limit: number,
): Promise<{ horizon: Horizon; told: ToldRow[] } | null> {
  const { text, values } = toldStatement(fleetId, after, limit);
  const rows = await manager.query<(Horizon & { [K in keyof ToldRow]: ToldRow[K] | null })[]>(text, values);
  const [first] = rows;
  if (!first) return null;
  const { xmin, xmax, isHeldUp, timeZone } = first;
  const told = rows.filter((row): row is Horizon & ToldRow => row.subjectId !== null);
  return { horizon: { xmin, xmax, isHeldUp, timeZone }, told };
}

/** A due line as a stream shows it. */
export type StreamedLine = DueLineRow & { isOpen: boolean };

/** Returns due lines in their current state, by id. */
export async function linesById(
  manager: EntityManager,
  fleetId: string,
  ids: string[],
): Promise<Map<string, StreamedLine>> {
  if (ids.length === 0) return new Map();
  const rows = await manager.query<StreamedLine[]>(
    `select l.is_open as "isOpen", ${DUE_LINE_COLUMNS} from due_lines l ${USAGE_JOIN}
     where l.fleet_id = $1 and l.id = any($2::uuid[])`,
    [fleetId, ids],
  );
  return new Map(rows.map((row) => [row.id, row]));
}

/** A token or session that is still valid, and what it may see now. */
export interface GoodHolder {
  id: string;
  role: Role;
  depotIds: string[] | null;
}

/** Returns those of the tokens and sessions that are still valid, by id. */
export async function goodHolders(
  manager: EntityManager,
  fleetId: string,
  ids: string[],
  now: Date,
): Promise<Map<string, GoodHolder>> {
  const rows = await manager.query<GoodHolder[]>(
    `select t.id, t.role, t.depot_ids as "depotIds" from access_tokens t
     where t.fleet_id = $1 and t.id = any($2::uuid[]) and t.revoked_at is null and (t.expires_at is null or t.expires_at > $3)
     union all
     select s.id, coalesce(t.role, p.role), case when t.id is null then p.depot_ids else t.depot_ids end
     from sessions s left join access_tokens t on t.fleet_id = $1 and t.id = s.token_id
       left join people p on p.fleet_id = $1 and p.id = s.person_id
     where s.fleet_id = $1 and s.id = any($2::uuid[]) and s.revoked_at is null and s.expires_at > $3
       and t.revoked_at is null and (t.expires_at is null or t.expires_at > $3) and p.left_at is null`,
    [fleetId, ids, now],
  );
  return new Map(rows.map((row) => [row.id, row]));
}

/**
 * Removes some of the events that are older than this many seconds, oldest first. @returns how many
 */
export async function removeOldEvents(
  manager: EntityManager,
  fleetId: string,
  olderThanSeconds: number,
  limit: number,
): Promise<number> {
  const [removed] = await manager.query<{ count: number }[]>(
    `with old as (
       select fleet_id, xid, seq from due_list_events
       where fleet_id = $1 and recorded_at < now() - make_interval(secs => $2)
       order by recorded_at limit $3),
     gone as (
       delete from due_list_events e using old where e.fleet_id = old.fleet_id and e.xid = old.xid and e.seq = old.seq returning 1)
     select count(*)::int as count from gone`,
    [fleetId, olderThanSeconds, limit],
  );
  return removed?.count ?? 0;
}
