import type { LossEvidence } from '../../domain/loss/facts/types.js';
import type { Message } from '../../domain/message.js';
import type { EntityManager } from 'typeorm';
import type { Keys } from '../../platform/pages/keyset.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { AlertStatus } from '../../entities/loss-alert.entity.js';

export interface LossAlertRow {
  id: string;
  kind: string;
  /** As it is recorded: null is the vehicle's first. */
  circuit: CircuitName | null;
  /** Null where the vehicle has only one. */
  namedCircuit: CircuitName | null;
  status: AlertStatus;
  vehicleId: string | null;
  unitNumber: string | null;
  depotId: string | null;
  members: string[];
  raisedAt: Date;
  clearedAt: Date | null;
  clearedBy: string | null;
  shelvedUntil: Date | null;
  returned: boolean;
  isStanding: boolean;
  evidence: LossEvidence[];
  computed: Record<string, unknown>;
  checkNext: Message[];
  cautions: Message[];
}

export interface LossAlertFilters {
  id?: string;
  /** Only these alerts, whatever their status. */
  ids?: string[];
  status?: AlertStatus;
  kind?: string;
  vehicleId?: string;
  /** Only alerts about vehicles kept there. */
  depotId?: string;
  /** Only alerts that are about no single vehicle. */
  ofFleet?: boolean;
  /** The oldest first; `after` must be null. */
  oldestFirst?: boolean;
  /** Include alerts whose facts were voided. */
  fallenToo?: boolean;
}

/** Shelving ends by itself: nothing is written when its time is up. */
const IS_SHELVED = `(a.status = 'shelved' and a.shelved_until > $2)`;

/**
 * The condition for each status. The part before `and` repeats the condition of the index of open
 * alerts.
 */
const IN_STATUS: Record<AlertStatus, string> = {
  raised: `a.status <> 'cleared' and a.status <> 'acknowledged' and not ${IS_SHELVED}`,
  acknowledged: `a.status <> 'cleared' and a.status = 'acknowledged'`,
  shelved: `a.status <> 'cleared' and ${IS_SHELVED}`,
  cleared: `a.status = 'cleared'`,
};

/** A part that came back early may be of the belt drive, which is in no circuit. */
const NAMED_CIRCUIT = `coalesce(a.circuit, case when s.other_circuits <> '[]' and a.kind <> 'early-return' then s.circuit end)`;

/** Alerts as they are at an instant, the newest first, starting after `after` (raised_at, id). */
export function lossAlertRows(
  manager: EntityManager,
  fleetId: string,
  now: Date,
  filters: LossAlertFilters,
  after: Keys<'raisedAt' | 'id'> | null,
  limit: number,
): Promise<LossAlertRow[]> {
  const values: unknown[] = [fleetId, now, limit];
  const conditions = ['a.fleet_id = $1'];
  const { id, ids, status, kind, vehicleId, depotId, ofFleet, fallenToo = false } = filters;
  if (!fallenToo) conditions.push('a.is_standing');
  if (id) conditions.push(`a.id = $${values.push(id)}`);
  else if (ids) conditions.push(`a.id = any($${values.push(ids)}::uuid[])`);
  else conditions.push(status ? IN_STATUS[status] : `a.status <> 'cleared'`);
  if (kind) conditions.push(`a.kind = $${values.push(kind)}`);
  if (vehicleId) conditions.push(`a.vehicle_id = $${values.push(vehicleId)}`);
  if (depotId) conditions.push(`a.depot_id = $${values.push(depotId)}`);
  if (ofFleet) conditions.push('a.vehicle_id is null');
  const direction = filters.oldestFirst ? 'asc' : 'desc';
  if (after)
    conditions.push(
      `(a.raised_at, a.id) < ($${values.push(after.raisedAt)}::timestamptz, $${values.push(after.id)}::uuid)`,
    );
  return manager.query<LossAlertRow[]>(
    `select a.id, a.kind, nullif(a.circuit, s.circuit) as circuit, ${NAMED_CIRCUIT} as "namedCircuit", a.vehicle_id as "vehicleId", v.unit_number as "unitNumber", v.depot_id as "depotId", a.members,
       case when a.status = 'shelved' and not ${IS_SHELVED} then 'raised' else a.status end as status,
       case when ${IS_SHELVED} then a.shelved_until end as "shelvedUntil",
       a.raised_at as "raisedAt", a.cleared_at as "clearedAt", a.cleared_by as "clearedBy", a.returned,
       a.is_standing as "isStanding", a.evidence, a.computed, a.check_next as "checkNext", a.cautions
     from loss_alerts a left join vehicles v on v.fleet_id = a.fleet_id and v.id = a.vehicle_id
     left join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     where ${conditions.join(' and ')}
     order by a.raised_at ${direction}, a.id ${direction} limit $3`,
    values,
  );
}

export interface LossAlertActionRow {
  id: string;
  at: Date;
  action: 'acknowledge' | 'shelve' | 'clear';
  until: Date | null;
  note: string | null;
}

/** More actions than anyone takes on one alert. Only the latest are shown. */
const MAX_ACTIONS = 200;

/** What people did about an alert, the latest first. */
export function actionRows(
  manager: EntityManager,
  fleetId: string,
  alertId: string,
): Promise<LossAlertActionRow[]> {
  return manager.query<LossAlertActionRow[]>(
    `select id, at, action, until, note from loss_alert_actions where fleet_id = $1 and alert_id = $2
     order by at desc, id desc limit ${MAX_ACTIONS}`,
    [fleetId, alertId],
  );
}
