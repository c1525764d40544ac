import type { EntityManager } from 'typeorm';
import type { DayFigures, DayLimits } from '../../domain/temperatures/day-figures.js';
import type { DaySamples } from '../../domain/temperatures/samples.js';
import { CIRCUITS, isElectric } from '../../domain/vehicles/circuits.js';
import { arrayLiteral } from '../../platform/database/array-literal.js';
import { runStatement } from '../../platform/database/statement.js';

const ELECTRIC = CIRCUITS.filter(isElectric);

/**
 * The temperatures are those of the engine's circuit. A sheet has an alarm and a thermostat for its
 * first circuit only, so those of another first circuit say nothing about them.
 */
const ENGINE_IS_OTHER = `coalesce(s.other_circuits, '[]') @> '[{"circuit": "engine"}]'`;

/** A day of a vehicle. */
export interface VehicleDay {
  vehicleId: string;
  /** YYYY-MM-DD, in the fleet's zone. */
  day: string;
}

/** What is stored of a day, and the limits that it is judged by. */
export interface StoredDay extends VehicleDay, DayLimits {
  /** Null: nothing is stored of it. */
  id: string | null;
  isVoided: boolean;
  /** The circuit cools parts of the high-voltage system. */
  isElectric: boolean;
  overheatedFrom: Date | null;
  /** The first instant of the day, from which its minutes count. */
  beganAt: Date | null;
  minutes: number[] | null;
  celsius: number[] | null;
}

/**
 * The samples of some days, each with its limits: those that it was judged by before, or else the
 * spec sheet's.
 */
export function storedDays(
  tx: EntityManager,
  fleetId: string,
  days: readonly VehicleDay[],
): Promise<StoredDay[]> {
  return runStatement<StoredDay[]>(tx, {
    name: 'temperature_days_stored',
    text: `select n.vehicle_id as "vehicleId", n.day::text as day, d.id, coalesce(d.voided_at is not null, false) as "isVoided",
       coalesce(s.circuit = any ($4::text[]) and not ${ENGINE_IS_OTHER}, false) as "isElectric",
       d.overheated_from as "overheatedFrom",
       coalesce(d.alarm_c, case when not ${ENGINE_IS_OTHER} then s.high_temperature_alarm_c end) as "alarmC",
       coalesce(d.thermostat_opens_c, case when not ${ENGINE_IS_OTHER} then s.thermostat_opens_c end) as "thermostatOpensC", t.began_at as "beganAt", t.minutes, t.celsius
     from unnest($2::uuid[], $3::date[]) as n(vehicle_id, day)
     join vehicles v on v.fleet_id = $1 and v.id = n.vehicle_id
     left join spec_sheets s on s.fleet_id = $1 and s.id = v.spec_sheet_id
     left join coolant_temperature_days d on d.fleet_id = $1 and d.vehicle_id = n.vehicle_id and d.day = n.day
     left join coolant_temperature_samples t on t.fleet_id = $1 and t.vehicle_id = n.vehicle_id and t.day = n.day`,
    values: [fleetId, days.map(({ vehicleId }) => vehicleId), days.map(({ day }) => day), ELECTRIC],
  });
}

/** A day as it is to be stored. */
export interface NewDay extends VehicleDay {
  id: string;
  beganAt: Date;
  samples: DaySamples;
  figures: DayFigures;
  limits: DayLimits;
  overheatedFrom: Date | null;
  overheatedUntil: Date | null;
}

/** The columns of a day's figures, with their types, in the order of `valuesOf`. */
const FIGURES = {
  samples: 'int',
  highest_c: 'float8',
  hot_c: 'float8',
  alarm_c: 'float8',
  thermostat_opens_c: 'float8',
  samples_above_alarm: 'int',
  minutes_above_alarm: 'int',
  overheated_from: 'timestamptz',
  overheated_until: 'timestamptz',
  warm_up_minutes: 'float8',
  usual_gap_minutes: 'float8',
  largest_gap_minutes: 'int',
} as const;
const NAMES = Object.keys(FIGURES);

const valuesOf = ({ figures, limits, overheatedFrom, overheatedUntil }: NewDay) => [
  ...[figures.samples, figures.highestC, figures.hotC, limits.alarmC, limits.thermostatOpensC],
  ...[figures.samplesAboveAlarm, figures.minutesAboveAlarm, overheatedFrom, overheatedUntil],
  ...[figures.warmUpMinutes, figures.usualGapMinutes, figures.largestGapMinutes],
];

const SAVE_DAYS = `with r as (
       select * from unnest($2::uuid[], $3::uuid[], $4::date[], $5::timestamptz[], $6::text[], $7::text[], ${Object.values(
         FIGURES,
       )
         .map((type, index) => `$${index + 8}::${type}[]`)
         .join(', ')}) as n(id, vehicle_id, day, began_at, minutes, celsius, ${NAMES.join(', ')})),
     kept as (
       insert into coolant_temperature_samples (fleet_id, vehicle_id, day, began_at, minutes, celsius)
       select $1, r.vehicle_id, r.day, r.began_at, r.minutes::int[], r.celsius::float8[] from r
       on conflict (fleet_id, vehicle_id, day) do update set minutes = excluded.minutes, celsius = excluded.celsius)
     insert into coolant_temperature_days as d (fleet_id, id, vehicle_id, day, ${NAMES.join(', ')})
     select $1, r.id, r.vehicle_id, r.day, ${NAMES.map((name) => `r.${name}`).join(', ')} from r
     on conflict (fleet_id, vehicle_id, day) do update set ${NAMES.map((name) => `${name} = excluded.${name}`).join(', ')}`;

/** Stores days with their samples, in one statement. */
export async function saveDays(tx: EntityManager, fleetId: string, days: readonly NewDay[]): Promise<void> {
  if (days.length === 0) return;
  const rows = days.map((day) => [
    ...[day.id, day.vehicleId, day.day, day.beganAt],
    ...[arrayLiteral(day.samples.minutes), arrayLiteral(day.samples.celsius)],
    ...valuesOf(day),
  ]);
  const columns = rows[0]!.map((_, index) => arrayLiteral(rows.map((row) => row[index] ?? null)));
  await runStatement(tx, { name: 'save_temperature_days', text: SAVE_DAYS, values: [fleetId, ...columns] });
}
