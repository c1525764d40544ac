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

/** What `SHOWN_DAYS` is about, as SQL: columns or parameters. */
interface DaysAsked {
  fleetId: string;
  vehicleId: string;
  timeZone: string;
  /** The first and the last day that the trend looks at. */
  from: string;
  asOf: string;
}

/** The first day that the trend looks at on a day. */
export const firstShownDay = (asOf: string): string => addDays(asOf, -CREEP_LOOKS_BACK_DAYS);

/**
 * SQL for the hot ends of a vehicle's days, and for the days on which it overheated lately: one row
 * with one column, a `ShownDays` as JSON.
 */
export const SHOWN_DAYS = ({ fleetId, vehicleId, timeZone, from, asOf }: DaysAsked): string =>
  `with work as materialized (
       select max((j.performed_at at time zone ${timeZone})::date) as since
       from job_reports j join job_lines l on l.fleet_id = j.fleet_id and l.job_report_id = j.id
       where j.fleet_id = ${fleetId} and j.vehicle_id = ${vehicleId} and j.voided_at is null and j.performed_at >= ${from}::date - 1 and ${CHANGED_BY})
     select json_build_object('since', work.since, 'days', (
       select coalesce(json_agg(json_build_object('day', t.day, 'hotC', t.hot_c) order by t.day), '[]')
       from coolant_temperature_days t
       where t.fleet_id = ${fleetId} and t.vehicle_id = ${vehicleId} and t.day >= ${from}::date and t.day <= ${asOf}::date
         and t.day > coalesce(work.since, '-infinity') and t.hot_c is not null and t.voided_at is null), 'hotDays', (
       select coalesce(json_agg(json_build_object('day', h.day, 'highestC', h.highest_c, 'alarmC', h.alarm_c, 'minutesAboveAlarm', h.minutes_above_alarm)
                       order by h.day desc), '[]')
       from (
         select t.day, t.highest_c, t.alarm_c, t.minutes_above_alarm from coolant_temperature_days t
         where t.fleet_id = ${fleetId} and t.vehicle_id = ${vehicleId} and t.overheated_from >= ${asOf}::date - ${RECENT_DAYS}
           and t.voided_at is null
         order by t.overheated_from desc, t.id desc limit ${MOST_HOT_DAYS}) h))
     from work`;

/** What is shown of a vehicle's days, in one statement. */
export async function shownDaysOf(
  manager: EntityManager,
  fleet: { fleetId: string; timeZone: string },
  vehicleId: string,
  asOf: string,
): Promise<ShownDays> {
  const asked = { fleetId: '$1', vehicleId: '$2', from: '$3', asOf: '$4', timeZone: '$5' };
  const [row] = await manager.query<{ shown: ShownDays }[]>(`select (${SHOWN_DAYS(asked)}) as shown`, [
    ...[fleet.fleetId, vehicleId, firstShownDay(asOf), asOf, fleet.timeZone],
  ]);
  return row?.shown ?? { since: null, days: [], hotDays: [] };
}
