import type { EntityManager } from 'typeorm';

export interface DoneRow {
  /** Its first day. */
  month: string;
  by: 'month' | 'depot' | 'component' | 'duty';
  key: string | null;
  name: string | null;
  done: number;
  early: number;
  inWindow: number;
  inGrace: number;
  late: number;
  /** Of those done after the day they were due; null if there are none. */
  medianDaysAfterDue: number | null;
}

/**
 * Counts the due lines that work reset, month by month and in groups: one range of an index.
 *
 * @param from the first day, inclusive
 * @param until exclusive
 */
export function doneRows(
  manager: EntityManager,
  fleetId: string,
  from: string,
  until: string,
): Promise<DoneRow[]> {
  return manager.query<DoneRow[]>(
    `with done as materialized (
       select date_trunc('month', c.performed_on)::date as month, l.depot_id, l.component, v.duty,
         c.performed_on < c.window_opens_on as early,
         c.performed_on between c.window_opens_on and c.due_on as in_window,
         c.performed_on > c.due_on and c.performed_on < c.late_on as in_grace,
         c.performed_on >= c.late_on as late,
         case when c.performed_on > c.due_on then c.performed_on - c.due_on end as days_after
       from completions c
       join due_lines l on l.fleet_id = c.fleet_id and l.id = c.due_line_id
       join vehicles v on v.fleet_id = l.fleet_id and v.id = l.vehicle_id
       where c.fleet_id = $1 and c.performed_on >= $2::date and c.performed_on < $3::date and not c.voided and c.due_on < 'infinity')
     select to_char(g.month, 'YYYY-MM-DD') as month, g.by, g.key, d.name, g.done, g.early, g.in_window as "inWindow", g.in_grace as "inGrace",
       g.late, g.median_days as "medianDaysAfterDue"
     from (
       select month,
         case when grouping(depot_id) = 0 then 'depot' when grouping(component) = 0 then 'component' when grouping(duty) = 0 then 'duty' else 'month' end as by,
         case when grouping(depot_id) = 0 then depot_id::text when grouping(component) = 0 then component when grouping(duty) = 0 then duty end as key,
         case when grouping(depot_id) = 0 then depot_id end as depot_id,
         count(*)::int as done, (count(*) filter (where early))::int as early, (count(*) filter (where in_window))::int as in_window,
         (count(*) filter (where in_grace))::int as in_grace, (count(*) filter (where late))::int as late,
         percentile_cont(0.5) within group (order by days_after) as median_days
       from done group by grouping sets ((month), (month, depot_id), (month, component), (month, duty))) g
     left join depots d on d.fleet_id = $1 and d.id = g.depot_id
     where g.by = 'month' or g.month = ($3::date - interval '1 month')::date
     order by g.month, g.by, d.name, g.key`,
    [fleetId, from, until],
  );
}
