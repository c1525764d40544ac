import type { EntityManager } from 'typeorm';
import { standsOnDay, stateOnDay } from '../due-list/due-state.sql.js';
import type { Stage } from './reminder.entity.js';
import { CATCH_UP } from './digests.js';
import { hasGathering, hearsOfVehicle, IS_LIVE } from './target-filter.sql.js';

/** A due line that stands in a stage of which a target has not been told. */
export interface Untold {
  dueLineId: string;
  cycle: string;
  stage: Stage;
  targetId: string;
  /** The stages the target hears of. */
  stages: Stage[];
  /** Which repetition this is, of a line that stays late. */
  repeat: number;
  sendFrom: string | null;
  sendTo: string | null;
}

/** What part of a fleet is swept; all of it when it is empty. */
export interface SweepPart {
  vehicleIds?: string[];
  targetId?: string;
  /** Only for targets that are told of each line by itself, and for which no digest gathers that would hold it. */
  eachOnly?: boolean;
}

/** Today in the fleet's zone, and how far ahead a window can open. */
export interface SweepDay {
  today: string;
  timeZone: string;
  greatestLeadDays: number;
}

/**
 * Pairs of line and target for which the stage's reminder is missing; or was withdrawn, or passed over by a stage that was then
 * withdrawn itself, and is called for again; or was sent so many days ago that it is to be repeated.
 *
 * Reads the open lines up to the fleet's greatest lead from today on, by the index on `due_on` (of some vehicles: by theirs).
 */
export function untold(
  manager: EntityManager,
  fleetId: string,
  { today, timeZone, greatestLeadDays }: SweepDay,
  part: SweepPart,
  limit: number,
): Promise<Untold[]> {
  const values: unknown[] = [fleetId, today, greatestLeadDays, limit, timeZone];
  const narrow = (condition: string, value: unknown): string =>
    value === undefined ? '' : `and ${condition.replace('?', `$${values.push(value)}`)}`;
  return manager.query<Untold[]>(
    `select l.id as "dueLineId", l.cycle, l.state as stage, t.id as "targetId", t.stages,
       coalesce(told.repeat, 0) + case when told.status in ('sent', 'undelivered') then 1 else 0 end as repeat,
       t.send_from as "sendFrom", t.send_to as "sendTo"
     from (
       select l.fleet_id, l.id, l.cycle, l.vehicle_id, l.depot_id, l.component, ${stateOnDay('$2::date')} as state
       from due_lines l
       where l.fleet_id = $1 and ${standsOnDay('$2::date', '$3::integer')}
         ${narrow('l.vehicle_id = any(?::uuid[])', part.vehicleIds)}
     ) l
     join reminder_targets t on t.fleet_id = l.fleet_id
     left join lateral (
       select r.fleet_id, r.due_line_id, r.cycle, r.target_id, r.stage, r.repeat, r.status, r.created_at from reminders r
       where r.fleet_id = l.fleet_id and r.due_line_id = l.id and r.cycle = l.cycle and r.stage = l.state
         and ${isTarget('r', 't.id')}
       order by r.repeat desc limit 1) told on true
     where ${IS_LIVE} ${narrow('t.id = ?', part.targetId)}
       ${part.eachOnly ? `and t.digest = 'each' and not ${hasGathering(`${CATCH_UP}%`)}` : ''}
       and 'due-line' = any(t.hears) and l.state = any(t.stages)
       and (cardinality(t.components) = 0 or l.component = any(t.components))
       and ${hearsOfVehicle('l.fleet_id', 'l.depot_id', 'l.vehicle_id')}
       and (told.status is null or told.status = 'withdrawn' or (told.status = 'superseded' and not ${hasHigher('told')})
         or (l.state = 'late' and told.status in ('sent', 'undelivered')
           and (told.created_at at time zone $5::text)::date + t.repeat_late_days <= $2::date))
     order by l.id, t.id
     limit $4`,
    values,
  );
}

/**
 * Compares the target in a way that no index serves. Before the tables have statistics, as after the first large sweep, the planner
 * takes the index by target for as good as that by due line, and would read all that the target was ever told for each line.
 */
const isTarget = (reminder: string, targetId: string): string =>
  `${reminder}.target_id is not distinct from ${targetId}`;

const rank = (stage: string): string => `array_position(array['window', 'due', 'late'], ${stage})`;

/** True where a higher stage of the same line, cycle and target was told of, or is about to be. */
const hasHigher = (reminder: string): string => `exists (
  select from reminders h
  where h.fleet_id = ${reminder}.fleet_id and h.due_line_id = ${reminder}.due_line_id and h.cycle = ${reminder}.cycle
    and ${isTarget('h', `${reminder}.target_id`)} and ${rank('h.stage')} > ${rank(`${reminder}.stage`)}
    and h.status in ('waiting', 'sent', 'undelivered'))`;

export interface NewReminder {
  id: string;
  targetId: string;
  dueLineId: string;
  cycle: string;
  stage: Stage;
  repeat: number;
  digestId: string | null;
  status: 'waiting' | 'superseded';
  nextAttemptAt: Date;
}

export interface Queued {
  id: string;
  nextAttemptAt: Date;
}

/**
 * Records reminders, each once; one that is called for again is taken up under its old id.
 *
 * @returns those that now wait to be sent
 */
export async function recordReminders(
  tx: EntityManager,
  fleetId: string,
  reminders: NewReminder[],
  now: Date,
): Promise<Queued[]> {
  const rows = await tx.query<(Queued & { status: string })[]>(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, repeat, digest_id, status, next_attempt_at, created_at)
     select $1, n.id, n."targetId", n."dueLineId", n.cycle, n.stage, n.repeat, n."digestId", n.status, n."nextAttemptAt", $3
     from jsonb_to_recordset($2::jsonb) as n(id uuid, "targetId" uuid, "dueLineId" uuid, cycle text, stage text, repeat integer,
       "digestId" uuid, status text, "nextAttemptAt" timestamptz)
     on conflict (fleet_id, due_line_id, cycle, stage, target_id, repeat) do update
       set status = 'waiting', attempts = 0, body = null, digest_id = excluded.digest_id, next_attempt_at = excluded.next_attempt_at
       where reminders.status in ('withdrawn', 'superseded') and excluded.status = 'waiting'
     returning id, next_attempt_at as "nextAttemptAt", status`,
    [fleetId, JSON.stringify(reminders), now],
  );
  return rows.filter(({ status }) => status === 'waiting');
}

/** A lower stage that still waits to be sent is passed over by a higher one of the same line, cycle and target. */
export async function supersedeLower(tx: EntityManager, fleetId: string, higher: Untold[]): Promise<void> {
  await tx.query(
    `update reminders r set status = 'superseded'
     from unnest($2::uuid[], $3::uuid[], $4::text[], $5::text[]) as h (due_line_id, target_id, cycle, stage)
     where r.fleet_id = $1 and r.due_line_id = h.due_line_id and r.target_id = h.target_id and r.cycle = h.cycle
       and r.status = 'waiting' and r.digest_id is null
       and ${rank('r.stage')} < ${rank('h.stage')}`,
    [
      fleetId,
      higher.map(({ dueLineId }) => dueLineId),
      higher.map(({ targetId }) => targetId),
      higher.map(({ cycle }) => cycle),
      higher.map(({ stage }) => stage),
    ],
  );
}

export async function markSwept(manager: EntityManager, fleetId: string, today: string): Promise<void> {
  await manager.query(
    `insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2)
     on conflict (fleet_id) do update set swept_on = greatest(fleet_sweeps.swept_on, excluded.swept_on)`,
    [fleetId, today],
  );
}
