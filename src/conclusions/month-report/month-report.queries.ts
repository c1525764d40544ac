import type { EntityManager } from 'typeorm';
import { grouped, type GroupKey } from './grouping.sql.js';

/** The months that are asked for, in the fleet's zone. */
export interface Months {
  fleetId: string;
  /** The first day, inclusive. */
  from: string;
  /** Exclusive. */
  until: string;
  timeZone: string;
  today: string;
}

export interface Statement {
  text: string;
  values: unknown[];
}

export interface DoneRow extends GroupKey {
  done: number;
  early: number;
  inWindow: number;
  inGrace: number;
  late: number;
  /** Of those done after the day they were due; null if there are none. */
  medianDaysAfterDue: number | null;
  /** Of the late ones; null if there are none. */
  medianDaysLate: number | null;
  worstDaysLate: number | null;
}

/** Counts the due lines that work reset: one range of an index. */
export function doneStatement({ fleetId, from, until }: Months): Statement {
  return {
    text: `with counted as materialized (
       select date_trunc('month', c.performed_on)::date as month, l.depot_id, l.component, v.duty,
         c.performed_on < c.window_opens_on as early,
         c.performed_on between c.window_opens_on and c.due_on as in_window,
         c.performed_on > c.due_on and c.performed_on < c.late_on as in_grace,
         c.performed_on >= c.late_on as late,
         c.performed_on - c.due_on as days_after
       from completions c
       join due_lines l on l.fleet_id = c.fleet_id and l.id = c.due_line_id
       join vehicles v on v.fleet_id = l.fleet_id and v.id = l.vehicle_id
       where c.fleet_id = $1 and c.performed_on >= $2::date and c.performed_on < $3::date and not c.voided and c.due_on < 'infinity')
     ${grouped({
       done: 'count(*)::int',
       early: '(count(*) filter (where early))::int',
       inWindow: '(count(*) filter (where in_window))::int',
       inGrace: '(count(*) filter (where in_grace))::int',
       late: '(count(*) filter (where late))::int',
       medianDaysAfterDue:
         'percentile_cont(0.5) within group (order by case when days_after > 0 then days_after end)',
       medianDaysLate: 'percentile_cont(0.5) within group (order by case when late then days_after end)',
       worstDaysLate: 'max(days_after) filter (where late)',
     })}`,
    values: [fleetId, from, until],
  };
}

export interface RepeatRow extends GroupKey {
  /** Lines of job reports that are work on a part. */
  work: number;
  repeats: number;
}

/** The same work again within this many days is a repeat; common practice, no published source. */
export const REPEAT_DAYS = 90;

/**
 * Counts the work that was done again too soon: one range of an index, which begins so much earlier
 * that the work before is in it.
 *
 * Work that came in the window of an interval was wanted, and so was what only looks: inspections,
 * tests and rechecks.
 */
export function repeatStatement({ fleetId, from, until, timeZone }: Months): Statement {
  return {
    text: `with done as (
       select (j.performed_at at time zone $4)::date as day, j.id as job_report_id, l.vehicle_id, l.component, l.item, l.action, l.circuit
       from job_reports j
       -- One look-up for each report: other plans read the lines of all the years.
       cross join lateral (select * from job_lines o where o.fleet_id = $1 and o.job_report_id = j.id offset 0) l
       where j.fleet_id = $1 and j.performed_at >= ($2::date - $5::int)::timestamp at time zone $4 and j.performed_at < $3::date::timestamp at time zone $4
         and j.voided_at is null and not j.is_baseline and l.action in ('adjust', 'clean', 'flush', 'replace')),
     again as (
       select o.*, v.depot_id, v.duty,
         count(*) over (partition by o.vehicle_id, o.component, o.action, lower(o.item), nullif(o.circuit, s.circuit)
           order by o.day range between make_interval(days => $5::int) preceding and interval '1 day' preceding) > 0 as is_again
       from done o join vehicles v on v.fleet_id = $1 and v.id = o.vehicle_id
       left join spec_sheets s on s.fleet_id = $1 and s.id = v.spec_sheet_id),
     counted as materialized (
       select date_trunc('month', a.day)::date as month, a.depot_id, a.component, a.duty,
         a.is_again and not exists (
           select from completions c join due_lines l on l.fleet_id = $1 and l.id = c.due_line_id
           where c.fleet_id = $1 and c.job_report_id = a.job_report_id and l.component = a.component
             and (l.item is null or lower(l.item) is not distinct from lower(a.item)) and c.performed_on >= c.window_opens_on) as is_repeat
       from again a where a.day >= $2::date)
     ${grouped({ work: 'count(*)::int', repeats: '(count(*) filter (where is_repeat))::int' })}`,
    values: [fleetId, from, until, timeZone, REPEAT_DAYS],
  };
}

export function doneRows(manager: EntityManager, months: Months): Promise<DoneRow[]> {
  const { text, values } = doneStatement(months);
  return manager.query<DoneRow[]>(text, values);
}

export function repeatRows(manager: EntityManager, months: Months): Promise<RepeatRow[]> {
  const { text, values } = repeatStatement(months);
  return manager.query<RepeatRow[]>(text, values);
}
