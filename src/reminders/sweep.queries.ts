import type { EntityManager } from 'typeorm';
import { standsOnDay, stateOnDay } from '../due-list/due-state.sql.js';
import type { Stage } from './reminder.entity.js';

/** A due line that stands in a stage of which a target has not been told. */
export interface Untold {
  dueLineId: string;
  cycle: string;
  stage: Stage;
  targetId: string;
  /** The stages the target hears of. */
  stages: Stage[];
  sendFrom: string | null;
  sendTo: string | null;
}

/** What part of a fleet is swept; all of it when both are left out. */
export interface SweepPart {
  vehicleIds?: string[];
  targetId?: string;
}

/**
 * Pairs of line and target for which the stage's reminder is missing; or was withdrawn, or passed over by a stage that was then
 * withdrawn itself, and is called for again.
 *
 * Reads the open lines up to the fleet's greatest lead from today on, by the index on `due_on` (of some vehicles: by theirs).
 */
export function untold(
  manager: EntityManager,
  fleetId: string,
  today: string,
  greatestLeadDays: number,
  part: SweepPart,
  limit: number,
): Promise<Untold[]> {
  const values: unknown[] = [fleetId, today, greatestLeadDays, limit];
  const narrow = (condition: string, value: unknown): string =>
    value === undefined ? '' : `and ${condition.replace('?', `$${values.push(value)}`)}`;
  return manager.query<Untold[]>(
    `select l.id as "dueLineId", l.cycle, l.state as stage, t.id as "targetId", t.stages,
       t.send_from as "sendFrom", t.send_to as "sendTo"
     from (
       select l.fleet_id, l.id, l.cycle, l.depot_id, l.component, ${stateOnDay('$2::date')} as state
       from due_lines l
       where l.fleet_id = $1 and ${standsOnDay('$2::date', '$3::integer')}
         ${narrow('l.vehicle_id = any(?::uuid[])', part.vehicleIds)}
     ) l
     join reminder_targets t on t.fleet_id = l.fleet_id
     where t.disabled_at is null and t.removed_at is null ${narrow('t.id = ?', part.targetId)}
       and 'due-line' = any(t.hears) and l.state = any(t.stages)
       and (cardinality(t.depot_ids) = 0 or l.depot_id = any(t.depot_ids))
       and (cardinality(t.components) = 0 or l.component = any(t.components))
       and not exists (
         select from reminders r
         where r.fleet_id = l.fleet_id and r.due_line_id = l.id and r.cycle = l.cycle and r.stage = l.state and r.target_id = t.id
           and r.status <> 'withdrawn' and (r.status <> 'superseded' or ${hasHigher('r')}))
     order by l.id, t.id
     limit $4`,
    values,
  );
}

const rank = (stage: string): string => `array_position(array['window', 'due', 'late'], ${stage})`;

/** True where a higher stage of the same line, cycle and target was told of, or is about to be. */
const hasHigher = (reminder: string): string => `exists (
  select from reminders h
  where h.fleet_id = ${reminder}.fleet_id and h.due_line_id = ${reminder}.due_line_id and h.cycle = ${reminder}.cycle
    and h.target_id = ${reminder}.target_id and ${rank('h.stage')} > ${rank(`${reminder}.stage`)}
    and h.status in ('waiting', 'sent', 'undelivered'))`;

export interface NewReminder {
  id: string;
  targetId: string;
  dueLineId: string;
  cycle: string;
  stage: Stage;
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
  const columnOf = <K extends keyof NewReminder>(key: K): NewReminder[K][] =>
    reminders.map((reminder) => reminder[key]);
  const rows = await tx.query<(Queued & { status: string })[]>(
    `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
     select $1, n.*, $9
     from unnest($2::uuid[], $3::uuid[], $4::uuid[], $5::text[], $6::text[], $7::text[], $8::timestamptz[]) as n
     on conflict (fleet_id, due_line_id, cycle, stage, target_id) do update
       set status = 'waiting', attempts = 0, body = null, next_attempt_at = excluded.next_attempt_at
       where reminders.status in ('withdrawn', 'superseded') and excluded.status = 'waiting'
     returning id, next_attempt_at as "nextAttemptAt", status`,
    [
      fleetId,
      columnOf('id'),
      columnOf('targetId'),
      columnOf('dueLineId'),
      columnOf('cycle'),
      columnOf('stage'),
      columnOf('status'),
      columnOf('nextAttemptAt'),
      now,
    ],
  );
  return rows.filter(({ status }) => status === 'waiting');
}

/** A lower stage that still waits to be sent is passed over by a higher one of the same line, cycle and target. */
export async function supersedeLower(tx: EntityManager, fleetId: string, higher: Untold[]): Promise<void> {
  await tx.query(
    `update reminders r set status = 'superseded'
     from unnest($2::uuid[], $3::uuid[], $4::text[], $5::text[]) as h (due_line_id, target_id, cycle, stage)
     where r.fleet_id = $1 and r.due_line_id = h.due_line_id and r.target_id = h.target_id and r.cycle = h.cycle
       and r.status = 'waiting'
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
