import type { EntityManager } from 'typeorm';
import { standsOnDay, stateOnDay } from '../../../conclusions/due-list/due-state.sql.js';
import { visitStands } from '../../../conclusions/due-list/visit-stands.sql.js';
import type { Stage } from '../../../entities/reminder.entity.js';
import { CATCH_UP } from './digest-reasons.js';
import type { FleetDay } from './fleet-day.js';
import { hasOpenDigest, hearsOfVehicle, IS_LIVE } from './target-filter.sql.js';
import { isDueAtOnce } from './urgent.js';

/** Maximum number of reminders recorded in one statement. */
const BATCH = 1000;

/** Which due lines to check, and for which targets. Empty means all of the fleet's. */
export interface LinePart {
  vehicleIds?: string[];
  targetIds?: string[];
  /**
   * Leaves out lines that a digest covers. Targets with a daily digest, or with an open catch-up
   * digest, get only urgent lines on their own.
   */
  eachOnly?: boolean;
  /** Only urgent lines, or all but urgent lines; both kinds when left out. */
  urgent?: 'only' | 'none';
}

/**
 * SQL for the pairs of a line and a target that need a reminder of the line's current stage. That
 * is so when:
 *
 * - there is none yet;
 * - it was withdrawn, or superseded by a higher stage that was later withdrawn;
 * - the line is late, and the last one is old enough to be repeated. The column `repeat` is the
 *   number of the repetition.
 *
 * Reads only open lines that are due before the fleet's greatest lead has passed, by the index on
 * `due_on`. When only some vehicles are checked, it uses the index by vehicle.
 *
 * @param values an empty list, which receives the parameter values
 */
export function untoldPairs(
  fleetId: string,
  { today, timeZone, greatestLeadDays }: FleetDay,
  part: LinePart,
  limit: number,
  values: unknown[],
): string {
  values.push(fleetId, today, greatestLeadDays, limit, timeZone);
  const narrow = (condition: string, value: unknown): string =>
    value === undefined ? '' : `and ${condition.replace('?', `$${values.push(value)}`)}`;
  const urgent = `(l.at_once and coalesce(told.repeat, 0) = 0 and coalesce(told.status, '') not in ('sent', 'undelivered'))`;
  return `select l.id as due_line_id, l.cycle, l.state as stage, t.id as target_id, t.stages,
       coalesce(told.repeat, 0) + case when told.status in ('sent', 'undelivered') then 1 else 0 end as repeat, ${urgent} as is_urgent
     from (
       select l.fleet_id, l.id, l.cycle, l.vehicle_id, l.depot_id, l.component, ${stateOnDay('$2::date')} as state,
         ${isDueAtOnce('l', '$2::date')} as at_once, case when ${visitStands()} then l.visit_assignee end as assignee
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
     where ${IS_LIVE} ${narrow('t.id = any(?::uuid[])', part.targetIds)}
       ${part.eachOnly ? `and (${urgent} or (t.digest = 'each' and not ${hasOpenDigest(`${CATCH_UP}%`)}))` : ''}
       ${part.urgent === undefined ? '' : `and ${part.urgent === 'only' ? '' : 'not '}${urgent}`}
       and 'due-line' = any(t.hears) and l.state = any(t.stages)
       and (cardinality(t.components) = 0 or l.component = any(t.components))
       and (t.person_id is null or t.person_id = l.assignee)
       and ${hearsOfVehicle('l.fleet_id', 'l.depot_id', 'l.vehicle_id')}
       and (told.status is null or told.status = 'withdrawn' or (told.status = 'superseded' and not ${hasHigher('told')})
         or (l.state = 'late' and told.status in ('sent', 'undelivered')
           and (told.created_at at time zone $5::text)::date + t.repeat_late_days <= $2::date))
     order by l.id, t.id
     limit $4`;
}

/** Whether any target has not been told about any of the lines. */
export async function hasUntold(
  manager: EntityManager,
  fleetId: string,
  day: FleetDay,
  part: LinePart,
): Promise<boolean> {
  const values: unknown[] = [];
  const [row] = await manager.query<{ there: boolean }[]>(
    `select exists (${untoldPairs(fleetId, day, part, 1, values)}) as there`,
    values,
  );
  return row?.there ?? false;
}

/**
 * Compares the target in a way that uses no index. Before the tables have statistics, as after the
 * first large sweep, the planner rates the index by target as highly as the one by due line. It
 * would then read everything the target was ever told, once for each line.
 */
const isTarget = (reminder: string, targetId: string): string =>
  `${reminder}.target_id is not distinct from ${targetId}`;

const rank = (stage: string): string => `array_position(array['window', 'due', 'late'], ${stage})`;

/**
 * SQL that is true when a higher stage of the same line, cycle and target was sent or goes into a
 * digest. A higher stage that waits on its own does not count. The line is in a lower stage now, so
 * that one will be withdrawn.
 */
const hasHigher = (reminder: string): string => `exists (
  select from reminders h
  where h.fleet_id = ${reminder}.fleet_id and h.due_line_id = ${reminder}.due_line_id and h.cycle = ${reminder}.cycle
    and ${isTarget('h', `${reminder}.target_id`)} and ${rank('h.stage')} > ${rank(`${reminder}.stage`)}
    and (h.status in ('sent', 'undelivered') or h.status = 'waiting' and h.digest_id is not null))`;

/** A recorded reminder that now waits to be sent. */
export interface Queued {
  id: string;
  nextAttemptAt: Date;
}

/** When a target may be sent ordinary and urgent reminders. */
export interface SendTime {
  targetId: string;
  sendAt: Date;
  urgentAt: Date;
}

/** Where recorded reminders go: to each target at its time, or into a digest. */
export interface Recording {
  sendTimes: SendTime[];
  digestId: string | null;
  now: Date;
}

interface Recorded extends Queued {
  dueLineId: string;
  targetId: string;
  cycle: string;
  stage: Stage;
}

/**
 * Records a reminder, only once, for each line and target where one is missing, in the line's
 * current stage. Records the lower stages as superseded, including those that still wait to be
 * sent. A reminder that is needed again is reused under its old id.
 *
 * @param take gets the reminders that now wait, one batch at a time
 */
export async function recordUntold(
  manager: EntityManager,
  fleetId: string,
  day: FleetDay,
  part: Omit<LinePart, 'targetIds'>,
  recording: Recording,
  take: (waiting: Queued[]) => Promise<void> | void = () => undefined,
): Promise<void> {
  for (let full = true; full;) {
    const { found, waiting } = await recordSome(manager, fleetId, day, part, recording, BATCH);
    full = found === BATCH;
    if (waiting.length > 0) await take(waiting);
  }
}

/**
 * @returns how many pairs of line and target were found, up to the limit, and the reminders that
 *   now wait
 */
async function recordSome(
  manager: EntityManager,
  fleetId: string,
  day: FleetDay,
  part: Omit<LinePart, 'targetIds'>,
  { sendTimes, digestId, now }: Recording,
  limit: number,
): Promise<{ found: number; waiting: Queued[] }> {
  const targetIds = sendTimes.map(({ targetId }) => targetId);
  const values: unknown[] = [];
  const pairs = untoldPairs(fleetId, day, { ...part, targetIds }, limit, values);
  const place = (value: unknown): string => `$${values.push(value)}`;
  const rows = await manager.query<({ found: number } & (Recorded | { id: null }))[]>(
    `with found as materialized (${pairs}),
     recorded as (
       insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, repeat, digest_id, status, next_attempt_at, created_at)
       select $1, uuidv7(), f.target_id, f.due_line_id, f.cycle, s.stage, f.repeat,
         case when s.stage = f.stage then ${place(digestId)}::uuid end, case when s.stage = f.stage then 'waiting' else 'superseded' end,
         case when f.is_urgent then w.urgent_at else w.send_at end, ${place(now)}
       from found f
       join unnest(${place(targetIds)}::uuid[], ${place(sendTimes.map(({ sendAt }) => sendAt))}::timestamptz[],
           ${place(sendTimes.map(({ urgentAt }) => urgentAt))}::timestamptz[]) w(target_id, send_at, urgent_at)
         on w.target_id = f.target_id
       cross join lateral unnest(f.stages) s(stage)
       where s.stage = f.stage or (f.repeat = 0 and ${rank('s.stage')} < ${rank('f.stage')})
       order by f.due_line_id, f.target_id, ${rank('s.stage')}
       on conflict (fleet_id, due_line_id, cycle, stage, target_id, repeat) do update
         set status = 'waiting', attempts = 0, attempted_by = null, body = null, digest_id = excluded.digest_id, next_attempt_at = excluded.next_attempt_at
         where reminders.status in ('withdrawn', 'superseded') and excluded.status = 'waiting'
       returning id, next_attempt_at, due_line_id, target_id, cycle, stage, status)
     select n.found, r.id, r.next_attempt_at as "nextAttemptAt", r.due_line_id as "dueLineId", r.target_id as "targetId", r.cycle, r.stage
     from (select count(*) as found from found) n left join recorded r on r.status = 'waiting'`,
    values,
  );
  const waiting = rows.flatMap((row) => (row.id === null ? [] : [row]));
  if (waiting.length > 0) await supersedeLower(manager, fleetId, waiting);
  return {
    found: rows[0]?.found ?? 0,
    waiting: waiting.map(({ id, nextAttemptAt }) => ({ id, nextAttemptAt })),
  };
}

/**
 * Supersedes waiting reminders of lower stages now. Otherwise they would only be found superseded
 * when their time comes.
 */
async function supersedeLower(
  manager: EntityManager,
  fleetId: string,
  higher: readonly Recorded[],
): Promise<void> {
  await manager.query(
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
