import type { DefectSource, DefectState } from '../../domain/defects/defect.js';
import { drivingBy } from '../../domain/defects/driving.js';
import type { CardDefect } from './card/card-records.dto.js';

/** As many as a vehicle can have. */
const MOST_DEFECTS = 100;

/** An open defect as it comes out of JSON. */
export interface CardDefectRow {
  id: string;
  what: string;
  source: DefectSource;
  state: DefectState;
  /** Epoch milliseconds. */
  reportedAt: number;
  dueOn: string | null;
  vehicleStays: boolean | null;
}

/**
 * SQL for the open defects of the vehicle `v` as JSON, those first that hold it or that nobody has
 * looked at.
 */
export const OPEN_DEFECTS = `select coalesce(json_agg(to_json(o)), '[]') from (
         select t.id, t.what, t.source, t.state, (extract(epoch from t.reported_at) * 1000)::float8 as "reportedAt", k.due_on as "dueOn",
           k.vehicle_stays as "vehicleStays"
         from defects t
         left join lateral (
           select k.due_on, k.vehicle_stays from defect_decisions k
           where k.fleet_id = t.fleet_id and k.defect_id = t.id order by k.at desc, k.id desc limit 1) k on true
         where t.fleet_id = v.fleet_id and t.vehicle_id = v.id and t.state in ('reported', 'triaged')
         order by coalesce(k.vehicle_stays, true) desc, t.reported_at, t.id limit ${MOST_DEFECTS}) o`;

export function cardDefect({ reportedAt, vehicleStays, ...row }: CardDefectRow): CardDefect {
  return {
    ...row,
    reportedAt: new Date(reportedAt).toISOString(),
    driving: drivingBy(row.state, vehicleStays === true),
  };
}
