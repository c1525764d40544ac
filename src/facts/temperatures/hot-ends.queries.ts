import type { EntityManager } from 'typeorm';
import { addDays } from '../../domain/calendar/civil-date.js';
import { CREEP_LOOKS_BACK_DAYS, type HotEnd } from '../../domain/temperatures/creep.js';

/**
 * Work that changes how hot the coolant runs or how it is read. Later days do not compare with
 * earlier ones; common practice, no published source.
 */
const CHANGED_BY = `l.component in ('radiator', 'fan-drive', 'fan-shroud', 'thermostat', 'temperature-sensor', 'water-pump')
  and l.action in ('replace', 'clean', 'adjust')`;

/** The hot ends of a vehicle's days since such work, as far back as the trend looks. */
export async function hotEndsOf(
  manager: EntityManager,
  fleetId: string,
  vehicleId: string,
  asOf: string,
  timeZone: string,
): Promise<{ since: string | null; days: HotEnd[] }> {
  const [row] = await manager.query<{ since: string | null; days: HotEnd[] | null }[]>(
    `with work as materialized (
       select max((j.performed_at at time zone $5)::date) as since
       from job_reports j join job_lines l on l.fleet_id = j.fleet_id and l.job_report_id = j.id
       where j.fleet_id = $1 and j.vehicle_id = $2 and j.voided_at is null and j.performed_at >= $3::date - 1 and ${CHANGED_BY})
     select work.since::text as since, (
       select json_agg(json_build_object('day', t.day, 'hotC', t.hot_c) order by t.day)
       from coolant_temperature_days t
       where t.fleet_id = $1 and t.vehicle_id = $2 and t.day >= $3::date and t.day <= $4::date and t.day > coalesce(work.since, '-infinity')
         and t.hot_c is not null and t.voided_at is null) as days
     from work`,
    [fleetId, vehicleId, addDays(asOf, -CREEP_LOOKS_BACK_DAYS), asOf, timeZone],
  );
  return { since: row?.since ?? null, days: row?.days ?? [] };
}
