import { circuitIn } from '../../platform/database/named-circuit.sql.js';
import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import { COMPONENTS } from '../../domain/intervals/types.js';
import { hasCircuit, READING_KINDS } from '../../domain/readings/kinds.js';
import type { EntityManager } from 'typeorm';
import { EPISODE_EXTENT } from '../../conclusions/load/fault-episode.sql.js';
import { KNOWN_CODES } from '../../domain/faults/meanings.js';
import type { Keys } from '../../platform/pages/keyset.js';
import type { HistoryEntry } from './history-item.dto.js';

export interface HistoryRow {
  /** With microseconds, which a JavaScript date would lose. */
  at: string;
  id: string;
  what: HistoryEntry['what'];
  detail: Record<string, unknown>;
}

/** The last row of the page before: instant, id and kind. */
export type HistoryCursor = Keys<'at' | 'id' | 'what'>;

interface Source {
  what: HistoryEntry['what'];
  /** SQL expressions for instant and id. They match the source's index, if it has one. */
  at: string;
  id: string;
  from: string;
  where: string;
}

const ASSIGNMENT_AT = `case when h.effective_on > $4::date then h.effective_on::timestamp at time zone $3
  else coalesce(v.in_service_on::timestamp at time zone $3, v.created_at) end`;

/**
 * The tables that hold a vehicle's history. There are few alerts and defects' decisions; the other
 * tables have an index in order of time.
 */
const SOURCES: Source[] = [
  {
    what: 'job-report',
    at: 'j.performed_at',
    id: 'j.id',
    from: 'job_reports j',
    where: 'j.fleet_id = $1 and j.vehicle_id = $2',
  },
  {
    what: 'reading',
    at: 'r.taken_at',
    id: 'r.id',
    from: 'readings r',
    where: 'r.fleet_id = $1 and r.vehicle_id = $2 and r.job_report_id is null',
  },
  {
    what: 'usage-reading',
    at: 'u.read_at',
    id: 'u.id',
    from: 'usage_readings u',
    where: `u.fleet_id = $1 and u.vehicle_id = $2
      and (u.status in ('held', 'discarded', 'voided') or u.odometer_replaced or u.engine_hours_replaced)`,
  },
  {
    what: 're-evaluation',
    at: 'e.judged_at',
    id: 'e.id',
    from: 're_evaluations e',
    where: 'e.fleet_id = $1 and e.vehicle_id = $2',
  },
  {
    what: 'hot-day',
    at: 't.overheated_from',
    id: 't.id',
    from: 'coolant_temperature_days t',
    where: 't.fleet_id = $1 and t.vehicle_id = $2 and t.overheated_from is not null',
  },
  {
    what: 'postponement',
    at: 'q.at',
    id: 'q.id',
    from: 'postponements q',
    where: 'q.fleet_id = $1 and q.vehicle_id = $2',
  },
  {
    what: 'assignment',
    at: ASSIGNMENT_AT,
    id: 'h.id',
    from: 'vehicle_assignments h join vehicles v on v.fleet_id = h.fleet_id and v.id = h.vehicle_id',
    where: 'h.fleet_id = $1 and h.vehicle_id = $2',
  },
  {
    what: 'loss-alert-raised',
    at: 'a.raised_at',
    id: 'a.id',
    from: 'loss_alerts a',
    where: 'a.fleet_id = $1 and a.vehicle_id = $2',
  },
  {
    what: 'loss-alert-cleared',
    at: 'a.cleared_at',
    id: 'a.id',
    from: 'loss_alerts a',
    where: 'a.fleet_id = $1 and a.vehicle_id = $2 and a.cleared_at is not null',
  },
  {
    what: 'loss-alert-action',
    at: 'x.at',
    id: 'x.id',
    from: 'loss_alerts a join loss_alert_actions x on x.fleet_id = a.fleet_id and x.alert_id = a.id',
    where: 'a.fleet_id = $1 and a.vehicle_id = $2',
  },
  // A vehicle reports many faults that have nothing to do with cooling or belts.
  {
    what: 'fault-began',
    at: 'f.first_at',
    id: 'f.id',
    from: 'faults f',
    where: 'f.fleet_id = $1 and f.vehicle_id = $2 and f.listed_as is not null and f.code = any ($6::text[])',
  },
  {
    what: 'fault-gone',
    at: 'f.gone_at',
    id: 'f.id',
    from: 'faults f',
    where: 'f.fleet_id = $1 and f.vehicle_id = $2 and f.gone_at is not null and f.code = any ($6::text[])',
  },
  {
    what: 'defect',
    at: 't.reported_at',
    id: 't.id',
    from: 'defects t',
    where: 't.fleet_id = $1 and t.vehicle_id = $2',
  },
  {
    what: 'defect-decision',
    at: 'k.at',
    id: 'k.id',
    from: 'defects t join defect_decisions k on k.fleet_id = t.fleet_id and k.defect_id = t.id',
    where: 't.fleet_id = $1 and t.vehicle_id = $2',
  },
];

const quantity = (measure: string, column: string): string =>
  `case when ${column} is not null then jsonb_build_object('measure', '${measure}', 'value', ${column}) end`;

/** The vehicle's first circuit, if it has several. PostgreSQL looks it up once for the page. */
const FIRST_OF_SEVERAL = `(select s.circuit from vehicles v join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
    where v.fleet_id = $1 and v.id = $2 and s.other_circuits <> '[]')`;

/**
 * The name of a recorded circuit, null where the vehicle has only one.
 *
 * @param isOfOne a condition: what it is recorded of belongs to a circuit
 */
const namedIn = (circuit: string, isOfOne: string): string =>
  `coalesce(${circuit}, case when ${isOfOne} then ${FIRST_OF_SEVERAL} end)`;

const IN_CIRCUIT = `l.component = any('{${COMPONENTS.filter(isInCircuit).join(',')}}')`;
const READ_IN_CIRCUIT = `r.kind = any('{${READING_KINDS.filter(hasCircuit).join(',')}}')`;

/** The details of each kind of record. They are read only for the rows of the page. */
const DETAILS: Record<HistoryEntry['what'], string> = {
  'job-report': `select jsonb_build_object('performedBy', j.performed_by, 'odometer', ${quantity('distance', 'j.odometer_km')},
      'engineHours', ${quantity('engine-hours', 'j.engine_hours')}, 'lines', (
        select coalesce(jsonb_agg(jsonb_build_object('component', l.component, 'action', l.action, 'item', l.item, 'failed', l.failed,
          'finding', l.finding) || ${circuitIn(namedIn('l.circuit', IN_CIRCUIT))} order by l.position), '[]')
        from job_lines l where l.fleet_id = $1 and l.job_report_id = j.id),
      'verdict', j.outcome->'verdict', 'baseline', j.is_baseline, 'voided', j.voided_at is not null, 'voidReason', j.void_reason)
    from job_reports j where j.fleet_id = $1 and j.id = p.id`,
  reading: `select jsonb_build_object('kind', r.kind, 'verdict', r.evaluation->'verdict', 'voided', r.voided_at is not null)
      || ${circuitIn(namedIn('r.circuit', READ_IN_CIRCUIT))}
    from readings r where r.fleet_id = $1 and r.id = p.id`,
  'usage-reading': `select jsonb_build_object('status', u.status, 'odometer', ${quantity('distance', 'u.odometer_km')},
      'engineHours', ${quantity('engine-hours', 'u.engine_hours')}, 'odometerReplaced', u.odometer_replaced,
      'engineHoursReplaced', u.engine_hours_replaced, 'reason', u.reason, 'detail', u.detail, 'decisionReason', u.decision_reason)
    from usage_readings u where u.fleet_id = $1 and u.id = p.id`,
  're-evaluation': `select jsonb_build_object('readingId', e.reading_id, 'kind', r.kind, 'verdict', e.evaluation->'verdict', 'why', e.why,
      'reasons', e.evaluation->'reasons')
    from re_evaluations e join readings r on r.fleet_id = e.fleet_id and r.id = e.reading_id where e.fleet_id = $1 and e.id = p.id`,
  'hot-day': `select jsonb_build_object('day', t.day, 'highest', ${quantity('temperature', 't.highest_c')},
      'alarm', ${quantity('temperature', 't.alarm_c')}, 'minutesAboveAlarm', t.minutes_above_alarm,
      'voided', t.voided_at is not null, 'voidReason', t.void_reason)
    from coolant_temperature_days t where t.fleet_id = $1 and t.id = p.id`,
  postponement: `select jsonb_build_object('dueLineId', q.due_line_id, 'component', l.component, 'action', l.action, 'item', l.item,
      'reason', q.reason, 'oldDueOn', q.old_due_on, 'newDueOn', q.new_due_on,
      'withdrawnAt', to_char(q.withdrawn_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'), 'withdrawnReason', q.withdrawn_reason) || ${circuitIn('l.named_circuit')}
    from postponements q join due_lines l on l.fleet_id = q.fleet_id and l.id = q.due_line_id where q.fleet_id = $1 and q.id = p.id`,
  assignment: `select jsonb_build_object('effectiveOn', case when h.effective_on > $4::date then h.effective_on end, 'depotId', h.depot_id,
      'specSheetId', h.spec_sheet_id, 'intervalPlanId', h.interval_plan_id, 'duty', h.duty, 'status', h.status)
    from vehicle_assignments h where h.fleet_id = $1 and h.id = p.id`,
  'loss-alert-raised': `select jsonb_build_object('kind', a.kind, 'returned', a.returned, 'standing', a.is_standing)
    from loss_alerts a where a.fleet_id = $1 and a.id = p.id`,
  'loss-alert-cleared': `select jsonb_build_object('kind', a.kind, 'clearedBy', a.cleared_by)
    from loss_alerts a where a.fleet_id = $1 and a.id = p.id`,
  'loss-alert-action': `select jsonb_build_object('alertId', x.alert_id, 'kind', a.kind, 'action', x.action, 'until', x.until, 'note', x.note)
    from loss_alert_actions x join loss_alerts a on a.fleet_id = x.fleet_id and a.id = x.alert_id
    where x.fleet_id = $1 and x.id = p.id`,
  'fault-began': `select jsonb_build_object('code', f.code, 'state', f.listed_as,
      'lastSeenAt', case when f.listed_as = 'voided' then f.last_at else e.last_at end, 'goneAt', f.gone_at,
      'occurrences', case when f.listed_as = 'voided' then f.occurrences else e.occurrences end, 'voidReason', f.void_reason)
    from faults f ${EPISODE_EXTENT}
    where f.fleet_id = $1 and f.id = p.id`,
  'fault-gone': `select jsonb_build_object('code', f.code) from faults f where f.fleet_id = $1 and f.id = p.id`,
  defect: `select jsonb_build_object('source', t.source, 'words', t.what, 'reportedBy', t.reported_by, 'state', t.state, 'jobReportId', t.repaired_by_id)
    from defects t where t.fleet_id = $1 and t.id = p.id`,
  'defect-decision': `select jsonb_build_object('defectId', k.defect_id, 'kind', k.kind, 'decidedBy', k.decided_by, 'component', k.component,
      'action', k.action, 'dueOn', k.due_on, 'vehicleStays', k.vehicle_stays, 'reason', k.reason)
    from defect_decisions k where k.fleet_id = $1 and k.id = p.id`,
};

const NEWEST_FIRST = 'at desc, id desc, what desc';

/**
 * A page of a vehicle's history, the newest first. Each source gives at most one page of rows, and
 * the details are read for the final page only.
 *
 * @param fromEver the date that means "from the beginning" in an assignment
 */
export function historyRows(
  manager: EntityManager,
  fleetId: string,
  vehicle: { id: string; timeZone: string; fromEver: string },
  after: HistoryCursor | null,
  limit: number,
): Promise<HistoryRow[]> {
  const values: unknown[] = [
    fleetId,
    vehicle.id,
    vehicle.timeZone,
    vehicle.fromEver,
    limit,
    KNOWN_CODES,
    ...(after ? [after.at, after.id, after.what] : []),
  ];
  const sources = SOURCES.map(({ what, at, id, from, where }) => {
    // The index is searched by the first two keys. The third only separates the raising of an alert
    // from its clearing.
    const narrow = after ? `and (${at}, ${id}, '${what}'::text) < ($7::timestamptz, $8::uuid, $9::text)` : '';
    return `(select ${at} as at, ${id} as id, '${what}'::text as what from ${from} where ${where} ${narrow}
      order by ${at} desc, ${id} desc limit $5)`;
  });
  const details = Object.entries(DETAILS).map(([what, query]) => `when '${what}' then (${query})`);
  return manager.query<HistoryRow[]>(
    `select to_char(p.at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as at, p.id, p.what,
       case p.what ${details.join('\n')} end as detail
     from (${sources.join(' union all ')} order by ${NEWEST_FIRST} limit $5) p
     order by p.at desc, p.id desc, p.what desc`,
    values,
  );
}
