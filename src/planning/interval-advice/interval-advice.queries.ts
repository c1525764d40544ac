import type { EntityManager } from 'typeorm';
import type { CivilDate, Duty, IntervalRule } from '../../domain/intervals/types.js';
import type { PartReplaced, VehicleParts } from '../../domain/reliability/part-history.js';

/** The counter that part lives are measured by. */
export type Counter = 'distance' | 'engine-hours';

export interface WantedParts {
  component: string;
  specSheetId: string | null;
  by: Counter;
  recordsFrom: CivilDate | null;
  timeZone: string;
}

interface PartsRow extends Omit<VehicleParts, 'watchedFrom' | 'replacements'> {
  watchedFrom: { at: string; use: number | null } | null;
  replacements: (Omit<PartReplaced, 'at'> & { at: string })[] | null;
}

/** The columns of each counter. */
const COLUMNS: Record<Counter, { lifetime: string; shown: string; inService: string }> = {
  distance: {
    lifetime: 'odometer_lifetime_km',
    shown: 'odometer_km',
    inService: 'in_service_odometer_km',
  },
  'engine-hours': {
    lifetime: 'engine_hours_lifetime',
    shown: 'engine_hours',
    inService: 'in_service_engine_hours',
  },
};

/**
 * The data of all vehicles on the lives of a component, in one statement. A vehicle counts for its
 * present sheet. Laid-up and disposed vehicles count as well, because the distances and hours their
 * parts have run are still evidence.
 *
 * @param most the most vehicles to read
 */
export async function vehicleParts(
  manager: EntityManager,
  fleetId: string,
  wanted: WantedParts,
  most: number,
): Promise<VehicleParts[]> {
  const { lifetime, shown, inService } = COLUMNS[wanted.by];
  const rows = await manager.query<PartsRow[]>(
    `select v.in_service_on as "inServiceOn", v.${inService} as "inServiceUse", u.${lifetime} as "lastUse", w.first as "watchedFrom",
       b.has_baseline as "hasBaseline", a.assignments, r.replacements,
       case when $2 = 'drive-belt' then array(select jsonb_array_elements(s.belts) ->> 'name') else '{}' end as items
     from vehicles v
     left join usage_summaries u on u.fleet_id = $1 and u.vehicle_id = v.id
     left join spec_sheets s on s.fleet_id = $1 and s.id = v.spec_sheet_id
     cross join lateral (
       select exists (select from job_reports j
         where j.fleet_id = $1 and j.vehicle_id = v.id and j.is_baseline and j.voided_at is null) as has_baseline) b
     left join lateral (
       select jsonb_build_object('at', f.read_at, 'use', f.${lifetime}) as first
       from usage_readings f
       where f.fleet_id = $1 and f.vehicle_id = v.id and f.${lifetime} is not null and (b.has_baseline or $3::date is not null)
         and f.read_at >= coalesce($3::date::timestamp at time zone $4, '-infinity')
         and not exists (select from job_reports j where j.fleet_id = $1 and j.id = f.job_report_id and j.is_baseline)
       order by f.read_at, f.id limit 1) w on true
     cross join lateral (
       select jsonb_agg(jsonb_build_object('effectiveOn', h.effective_on, 'duty', h.duty, 'specSheetId', h.spec_sheet_id)
         order by h.effective_on, h.id) as assignments
       from vehicle_assignments h where h.fleet_id = $1 and h.vehicle_id = v.id) a
     cross join lateral (
       select jsonb_agg(jsonb_build_object('jobId', j.id, 'at', j.performed_at, 'item', l.item, 'failed', l.failed, 'isBaseline', j.is_baseline,
         -- Work from before the first reading has no lifetime usage, so use the counter as typed.
         'use', coalesce(j.${lifetime}, case when j.is_baseline then j.${shown} end))) as replacements
       from job_lines l join job_reports j on j.fleet_id = $1 and j.id = l.job_report_id and j.voided_at is null
       where l.fleet_id = $1 and l.vehicle_id = v.id and l.component = $2 and l.action = 'replace') r
     where v.fleet_id = $1 ${wanted.specSheetId === null ? '' : 'and v.spec_sheet_id = $6'}
     order by v.id limit $5`,
    [
      ...[fleetId, wanted.component, wanted.recordsFrom, wanted.timeZone, most],
      ...(wanted.specSheetId === null ? [] : [wanted.specSheetId]),
    ],
  );
  return rows.map((row) => ({
    ...row,
    watchedFrom: row.watchedFrom && { ...row.watchedFrom, at: Date.parse(row.watchedFrom.at) },
    assignments: row.assignments ?? [],
    replacements: (row.replacements ?? []).map((line) => ({ ...line, at: Date.parse(line.at) })),
  }));
}

/** A plan that vehicles follow, and how many vehicles of a duty follow it. */
export interface PlanInUse {
  id: string;
  name: string;
  intervals: IntervalRule[];
  duty: Duty;
  vehicles: number;
}

/**
 * The plans that vehicles follow, by duty: vehicles of one sheet, or all. Leaves out disposed
 * vehicles.
 */
export function plansInUse(
  manager: EntityManager,
  fleetId: string,
  specSheetId: string | null,
): Promise<PlanInUse[]> {
  return manager.query<PlanInUse[]>(
    `select p.id, p.name, p.intervals, v.duty, v.vehicles
     from (
       select interval_plan_id, duty, count(*)::integer as vehicles from vehicles
       where fleet_id = $1 and status <> 'disposed' and interval_plan_id is not null ${specSheetId === null ? '' : 'and spec_sheet_id = $2'}
       group by interval_plan_id, duty) v
     join interval_plans p on p.fleet_id = $1 and p.id = v.interval_plan_id
     order by p.name, v.duty`,
    [fleetId, ...(specSheetId === null ? [] : [specSheetId])],
  );
}
