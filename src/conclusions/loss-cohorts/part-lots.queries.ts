import type { EntityManager } from 'typeorm';
import type { Component } from '../../domain/intervals/types.js';
import type { AlertActionRecord, StoredAlert } from '../../domain/conclusions/vehicle-history.js';
import type { PartHistory, PartReplacement, RunAt } from '../../domain/loss/parts/part-fittings.js';

interface Counted {
  at: string;
  km: number | null;
  hours: number | null;
}

interface PartRow {
  vehicleId: string;
  hasOdometer: boolean;
  watchedFrom: Counted | null;
  last: Counted | null;
  alertsRaisedAt: string[] | null;
  replacements: (Counted & Omit<PartReplacement, keyof RunAt>)[] | null;
}

const instant = (at: string): string => new Date(at).toISOString();

/**
 * For each vehicle of a sheet (`$2`): its latest usage, its alerts, and the replacements of some
 * components (`$3`).
 */
const HISTORIES = `select v.id as "vehicleId", u.odometer_lifetime_km is not null as "hasOdometer", w.first as "watchedFrom",
     case when coalesce(u.odometer_read_at, u.engine_hours_read_at) is not null then
       jsonb_build_object('at', coalesce(u.odometer_read_at, u.engine_hours_read_at), 'km', u.odometer_lifetime_km, 'hours', u.engine_hours_lifetime) end as last,
     a.raised as "alertsRaisedAt", p.replacements
   from vehicles v
   left join usage_summaries u on u.fleet_id = $1 and u.vehicle_id = v.id
   left join lateral (
     select jsonb_build_object('at', f.at, 'km', f.km, 'hours', f.hours) as first from (
       (select taken_at as at, odometer_lifetime_km as km, engine_hours_lifetime as hours from readings
        where fleet_id = $1 and vehicle_id = v.id and voided_at is null order by taken_at, id limit 1)
       union all
       (select performed_at, odometer_lifetime_km, engine_hours_lifetime from job_reports
        where fleet_id = $1 and vehicle_id = v.id and voided_at is null and not is_baseline order by performed_at, id limit 1)) f
     order by f.at, f.km limit 1) w on true
   cross join lateral (
     select jsonb_agg(raised_at order by raised_at) as raised from loss_alerts
     where fleet_id = $1 and vehicle_id = v.id and is_standing) a
   cross join lateral (
     select jsonb_agg(jsonb_build_object('jobId', j.id, 'at', j.performed_at, 'km', j.odometer_lifetime_km, 'hours', j.engine_hours_lifetime,
       'component', l.component, 'item', l.item, 'partNumber', l.part_number, 'lot', l.lot)) as replacements
     from job_lines l join job_reports j on j.fleet_id = $1 and j.id = l.job_report_id and j.voided_at is null
     where l.fleet_id = $1 and l.vehicle_id = v.id and l.action = 'replace' and l.component = any($3::text[])) p
   where v.fleet_id = $1 and v.spec_sheet_id = $2`;

/**
 * What the vehicles of a sheet show about parts whose batch is known, and which components those
 * are.
 *
 * @param hoursPer1000Km the engine hours that count as 1,000 km in a vehicle whose odometer is not
 * read
 */
export async function partHistories(
  manager: EntityManager,
  fleetId: string,
  specSheetId: string,
  hoursPer1000Km: number,
): Promise<{ components: Component[]; histories: PartHistory[] }> {
  const components = await componentsWithLots(manager, fleetId, specSheetId);
  if (components.length === 0) return { components, histories: [] };
  const rows = await manager.query<PartRow[]>(HISTORIES, [fleetId, specSheetId, components]);
  return { components, histories: rows.map((row) => historyOf(row, hoursPer1000Km)) };
}

async function componentsWithLots(
  manager: EntityManager,
  fleetId: string,
  specSheetId: string,
): Promise<Component[]> {
  const lots = await manager.query<{ component: Component }[]>(
    `select distinct l.component
     from vehicles v
     join job_lines l on l.fleet_id = $1 and l.vehicle_id = v.id and l.lot is not null and l.action = 'replace'
     join job_reports j on j.fleet_id = $1 and j.id = l.job_report_id and j.voided_at is null
     where v.fleet_id = $1 and v.spec_sheet_id = $2 order by l.component`,
    [fleetId, specSheetId],
  );
  return lots.map(({ component }) => component);
}

function historyOf(row: PartRow, hoursPer1000Km: number): PartHistory {
  // Uses the same counter throughout: the difference between an odometer and an hour meter means
  // nothing.
  const run = <T extends Counted>({ at, km, hours }: T): RunAt => ({
    at: instant(at),
    km: row.hasOdometer ? km : hours === null ? null : (hours * 1000) / hoursPer1000Km,
  });
  return {
    vehicleId: row.vehicleId,
    watchedFrom: row.watchedFrom && run(row.watchedFrom),
    last: row.last && run(row.last),
    alertsRaisedAt: (row.alertsRaisedAt ?? []).map(instant),
    replacements: (row.replacements ?? []).map((replacement) => {
      const { jobId, component, item, partNumber, lot } = replacement;
      return { jobId, component, item, partNumber, lot, ...run(replacement) };
    }),
  };
}

/** The stored alerts about batches of parts, and what people did about them. */
export async function lotAlerts(
  manager: EntityManager,
  fleetId: string,
): Promise<{ stored: StoredAlert[]; actions: AlertActionRecord[] }> {
  const stored = await manager.query<StoredAlert[]>(
    `select id, key, is_standing as "isStanding", status, to_jsonb(shelved_until) #>> '{}' as "shelvedUntil", returned, evidence, computed
     from loss_alerts where fleet_id = $1 and kind = 'part-cohort' and vehicle_id is null`,
    [fleetId],
  );
  const actions = await manager.query<
    (Omit<AlertActionRecord, 'at' | 'until'> & { at: Date; until: Date | null })[]
  >(
    `select a.id, a.at, l.key as "alertKey", a.action, a.until, a.note, a.token_id as by
     from loss_alerts l join loss_alert_actions a on a.fleet_id = $1 and a.alert_id = l.id
     where l.fleet_id = $1 and l.kind = 'part-cohort' and l.vehicle_id is null order by a.at, a.id`,
    [fleetId],
  );
  return {
    stored,
    actions: actions.map(({ at, until, ...action }) => ({
      ...action,
      at: at.getTime(),
      until: until?.toISOString() ?? null,
    })),
  };
}

/** Lets one worker at a time examine a fleet's batches of parts, until the transaction ends. */
export async function lockPartLots(tx: EntityManager, fleetId: string): Promise<void> {
  await tx.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [`part lots ${fleetId}`]);
}
