/** What every figure of the report is counted in. */
export type By = 'month' | 'depot' | 'component' | 'duty';

export interface GroupKey {
  /** Its first day. */
  month: string;
  by: By;
  key: string | null;
  name: string | null;
}

/**
 * Wraps counts over `counted (month, depot_id, component, duty, …)` so that they come month by
 * month, and for the last month also by depot, component and duty. `$1` is the fleet, `$3` the day
 * after the last month.
 *
 * @param counts aggregates, each with the name that the row has it by
 */
export const grouped = (counts: Readonly<Record<string, string>>): string => `
  select to_char(g.month, 'YYYY-MM-DD') as month, g.by, g.key, d.name, ${Object.keys(counts)
    .map((name) => `g."${name}"`)
    .join(', ')}
  from (
    select month,
      case when grouping(depot_id) = 0 then 'depot' when grouping(component) = 0 then 'component' when grouping(duty) = 0 then 'duty' else 'month' end as by,
      case when grouping(depot_id) = 0 then depot_id::text when grouping(component) = 0 then component when grouping(duty) = 0 then duty end as key,
      case when grouping(depot_id) = 0 then depot_id end as depot_id,
      ${Object.entries(counts)
        .map(([name, count]) => `${count} as "${name}"`)
        .join(', ')}
    from counted group by grouping sets ((month), (month, depot_id), (month, component), (month, duty))) g
  left join depots d on d.fleet_id = $1 and d.id = g.depot_id
  where g.by = 'month' or g.month = ($3::date - interval '1 month')::date
  order by g.month, g.by, d.name, g.key`;
