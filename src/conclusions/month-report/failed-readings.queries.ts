import type { EntityManager } from 'typeorm';
import { grouped, type GroupKey } from './grouping.sql.js';
import type { Months, Statement } from './month-report.queries.js';

export interface FailedRow extends GroupKey {
  failed: number;
  closed: number;
  /** Of those closed, without a day on which a reading passed or a part was replaced. */
  closedOtherwise: number;
  open: number;
  /** Of those whose days are known; null if there are none. */
  medianDaysOpen: number | null;
  longestDaysOpen: number | null;
}

/** The part that a reading `f` is about. */
const PART = `case f.kind
    when 'belt-check' then 'drive-belt' when 'belt-tension' then 'drive-belt' when 'tensioner-check' then 'tensioner' when 'cap-test' then 'radiator-cap'
    when 'torque-set' then coalesce(jsonb_path_query_first(f.limits, '$.fasteners[*] ? (@.name == $name).component',
      jsonb_build_object('name', f.canonical -> 'fastener')) #>> '{}', 'other')
    else 'coolant' end`;

/** The new part or coolant that may settle a reading `f` by itself. */
const REPLACED = `(f.kind = 'belt-check' and l.component = 'drive-belt' and l.action = 'replace'
    or f.kind = 'tensioner-check' and l.component = 'tensioner' and l.action = 'replace'
    or f.kind = 'cap-test' and l.component = 'radiator-cap' and l.action = 'replace'
    or f.kind = 'coolant-condition' and l.component = 'coolant' and l.action = 'flush')`;

/**
 * What may have closed a failed reading `f`: the first later one of the kind that passed, the same
 * one judged again by other limits, or a new part.
 */
const CLOSED = `(
    (select p.taken_at as at from readings p
     where p.fleet_id = $1 and p.vehicle_id = f.vehicle_id and p.taken_at >= f.taken_at
       and (p.taken_at > f.taken_at or p.job_report_id = f.job_report_id and p.position > f.position)
       and p.kind = f.kind and p.evaluation ->> 'verdict' = 'pass' and p.voided_at is null
       and nullif(p.circuit, s.circuit) is not distinct from nullif(f.circuit, s.circuit)
       and p.canonical ->> 'fastener' is not distinct from f.canonical ->> 'fastener'
       and p.canonical ->> 'item' is not distinct from f.canonical ->> 'item'
       and (f.canonical ->> 'method' is distinct from 'pressure' or p.canonical ->> 'method' = 'pressure')
     order by p.taken_at limit 1)
    union all
    (select e.judged_at from re_evaluations e where e.fleet_id = $1 and e.reading_id = f.id and e.evaluation ->> 'verdict' = 'pass'
     order by e.judged_at limit 1)
    union all
    (select j.performed_at from job_reports j join job_lines l on l.fleet_id = $1 and l.job_report_id = j.id
     where j.fleet_id = $1 and j.vehicle_id = f.vehicle_id and j.performed_at > f.taken_at and j.voided_at is null and not j.is_baseline
       and nullif(l.circuit, s.circuit) is not distinct from nullif(f.circuit, s.circuit)
       and (l.item is null or f.canonical ->> 'item' is null or lower(l.item) = lower(f.canonical ->> 'item')) and ${REPLACED}
     order by j.performed_at limit 1))`;

/**
 * Counts the readings that failed, and how many are closed at the end of their month, or today if
 * the month has not ended. What they opened on the due list says whether one is open now.
 */
export function failedStatement({ fleetId, from, until, timeZone, today }: Months): Statement {
  return {
    text: `with failed as (
       select r.*, (r.taken_at at time zone $4)::date as day,
         least((date_trunc('month', r.taken_at at time zone $4) + interval '1 month')::date - 1, $5::date) as until_day
       from readings r
       where r.fleet_id = $1 and r.taken_at >= $2::date::timestamp at time zone $4 and r.taken_at < $3::date::timestamp at time zone $4
         and r.evaluation ->> 'verdict' = 'fail' and r.voided_at is null),
     found as (
       select f.day, f.until_day, v.depot_id, v.duty, ${PART} as component,
         exists (select from due_lines d where d.fleet_id = $1 and d.vehicle_id = f.vehicle_id and d.is_open
           and d.opened_by @> to_jsonb(f.id::text)) as is_open,
         (select (min(c.at) at time zone $4)::date from ${CLOSED} c) as closed_on
       from failed f join vehicles v on v.fleet_id = $1 and v.id = f.vehicle_id
       left join spec_sheets s on s.fleet_id = $1 and s.id = v.spec_sheet_id),
     told as (select *, is_open or coalesce(closed_on > until_day, false) as was_open from found),
     counted as materialized (
       select date_trunc('month', day)::date as month, depot_id, component, duty, was_open, not was_open and closed_on is null as is_otherwise,
         case when was_open then until_day else closed_on end - day as days_open
       from told)
     ${grouped({
       failed: 'count(*)::int',
       closed: '(count(*) filter (where not was_open))::int',
       closedOtherwise: '(count(*) filter (where is_otherwise))::int',
       open: '(count(*) filter (where was_open))::int',
       medianDaysOpen: 'percentile_cont(0.5) within group (order by days_open)',
       longestDaysOpen: 'max(days_open)',
     })}`,
    values: [fleetId, from, until, timeZone, today],
  };
}

export function failedRows(manager: EntityManager, months: Months): Promise<FailedRow[]> {
  const { text, values } = failedStatement(months);
  return manager.query<FailedRow[]>(text, values);
}
