/**
 * SQL for when the fault that begins with the row `f` was last seen active, and how often the
 * vehicle counted it: `e.last_at` and `e.occurrences`. It reads the rows of that episode alone.
 */
export const EPISODE_EXTENT = `cross join lateral (
      select max(a.last_at) as last_at, max(a.occurrences) as occurrences from faults a
      where a.fleet_id = f.fleet_id and a.vehicle_id = f.vehicle_id and a.code = f.code and a.is_active and a.voided_at is null
        and a.first_at >= f.first_at and a.first_at < coalesce((
          select n.first_at from faults n where n.fleet_id = f.fleet_id and n.vehicle_id = f.vehicle_id and n.code = f.code
            and n.first_at > f.first_at and n.listed_as <> 'voided' order by n.first_at limit 1), 'infinity')) e`;
