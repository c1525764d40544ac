import type { EntityManager } from 'typeorm';
import { addDays } from '../../domain/calendar/civil-date.js';
import { CREEP_LOOKS_BACK_DAYS, type HotEnd } from '../../domain/temperatures/creep.js';

/**
 * Work that changes how hot the coolant runs or how it is read. Later days do not compare with
 * earlier ones; common practice, no published source.
 */
const CHANGED_BY = `l.component in ('radiator', 'fan-drive', 'fan-shroud', 'thermostat', 'temperature-sensor', 'water-pump')
  and l.action in ('replace', 'clean', 'adjust')`;

/** Overheating that is older has had its inspection, or waits for it as a due line. */
const RECENT_DAYS = 30;
const MOST_HOT_DAYS = 10;

/** A day on which the vehicle overheated. */
export interface RecentHotDay {
  day: string;
  highestC: number;
  alarmC: number;
  minutesAboveAlarm: number | null;
}

/** What is shown of a vehicle's days. */
export interface ShownDays {
  /** The day of the last work that changes the temperature; null: none as far back as it looks. */
  since: string | null;
  /** The hot ends since such work, as far back as the trend looks. */
  days: HotEnd[];
  /** Latest first. */
  hotDays: RecentHotDay[];
}

/**
 * The hot ends of a vehicle's days, and the days on which it overheated lately, in one statement.
 */
export async function shownDaysOf(
  manager: EntityManager,
  fleet: { fleetId: string; timeZone: string },
  vehicleId: string,
  asOf: string,
): Promise<ShownDays> {
  interface Row {
    since: string | null;
    days: HotEnd[] | null;
    hotDays: RecentHotDay[] | null;
  }
  const [row] = await manager.query<Row[]>(
    `with work as materialized (
       select max((j.performed_at at time zone $5)::date) as since
       from job_reports j join job_lines l on l.fleet_id = j.fleet_id and l.job_report_id = j.id
       where j.fleet_id = $1 and j.vehicle_id = $2 and j.voided_at is null and j.performed_at >= $3::date - 1 and ${CHANGED_BY})
     select work.since::text as since, (
       select json_agg(json_build_object('day', t.day, 'hotC', t.hot_c) order by t.day)
       from coolant_temperature_days t
       where t.fleet_id = $1 and t.vehicle_id = $2 and t.day >= $3::date and t.day <= $4::date and t.day > coalesce(work.since, '-infinity')
         and t.hot_c is not null and t.voided_at is null) as days, (
       select json_agg(json_build_object('day', h.day, 'highestC', h.highest_c, 'alarmC', h.alarm_c, 'minutesAboveAlarm', h.minutes_above_alarm)
                       order by h.day desc)
       from (
         select t.day, t.highest_c, t.alarm_c, t.minutes_above_alarm from coolant_temperature_days t
         where t.fleet_id = $1 and t.vehicle_id = $2 and t.overheated_from >= $4::date - ${RECENT_DAYS} and t.voided_at is null
         order by t.overheated_from desc, t.id desc limit ${MOST_HOT_DAYS}) h) as "hotDays"
     from work`,
    [fleet.fleetId, vehicleId, addDays(asOf, -CREEP_LOOKS_BACK_DAYS), asOf, fleet.timeZone],
  );
  return { since: row?.since ?? null, days: row?.days ?? [], hotDays: row?.hotDays ?? [] };
}
