import type { EntityManager, SelectQueryBuilder } from 'typeorm';
import type { SpecBelt } from '../../entities/spec-sheet.entity.js';
import type { Defect } from '../../entities/defect.entity.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { DefectQuery } from './defect-input.dto.js';
import type { DefectDecisionView, DefectLineView } from './defect.dto.js';

/** A decision as it comes out of JSON. */
type DecisionRow = Omit<DefectDecisionView, 'at'> & { at: number };

/** What is shown with a defect. */
export interface DefectParts {
  id: string;
  unitNumber: string;
  /** Earliest first. */
  decisions: DecisionRow[];
  /** Of the job that repaired it. */
  performedBy: string | null;
  performedAt: Date | null;
  lines: DefectLineView[];
}

/** Reads what is shown with some defects, in one statement. */
export function partsOf(manager: EntityManager, ids: readonly string[]): Promise<DefectParts[]> {
  return manager.query<DefectParts[]>(
    `select t.id, v.unit_number as "unitNumber", j.performed_by as "performedBy", j.performed_at as "performedAt",
       (select coalesce(json_agg(json_build_object('kind', k.kind, 'at', (extract(epoch from k.at) * 1000)::float8, 'decidedBy', k.decided_by,
          'component', k.component, 'action', k.action, 'item', k.item, 'dueOn', k.due_on, 'vehicleStays', k.vehicle_stays, 'reason', k.reason)
          order by k.at, k.id), '[]')
        from defect_decisions k where k.fleet_id = $1 and k.defect_id = t.id) as decisions,
       (select coalesce(json_agg(json_build_object('id', l.id, 'component', l.component, 'action', l.action, 'item', l.item,
          'atOnce', l.is_at_once, 'dueOn', nullif(l.due_on, 'infinity')) order by l.is_at_once desc, l.due_on, l.id), '[]')
        from due_lines l where l.fleet_id = $1 and l.vehicle_id = t.vehicle_id and l.is_open and l.origin = 'follow-up'
          and jsonb_exists(l.opened_by, t.id::text)) as lines
     from defects t
     join vehicles v on v.fleet_id = $1 and v.id = t.vehicle_id
     left join job_reports j on j.fleet_id = $1 and j.id = t.repaired_by_id
     where t.fleet_id = $1 and t.id = any($2::uuid[])`,
    [fleetScope().fleetId, ids],
  );
}

const OPEN = `d.state in ('reported', 'triaged')`;

/** Repeats the condition of the index `defects_held_top_up_ix`. */
const HELD_TOP_UP = `d.is_top_up and d.top_up_reading_id is null and ${OPEN}`;

/** What a list of defects is narrowed by; a cursor is bound to it. */
export type DefectFilters = Omit<DefectQuery, 'limit' | 'cursor'>;

/**
 * Adds the filters of the list to a query for defects `d`. A driver sees its own, and those of
 * a vehicle that is named as long as they are open.
 */
export function narrowDefects(builder: SelectQueryBuilder<Defect>, filters: DefectFilters): void {
  const { vehicleId, unitNumber, depotId, state, topUp } = filters;
  const { fleetId, role } = fleetScope();
  if (vehicleId) builder.andWhere('d.vehicle_id = :vehicleId', { vehicleId });
  if (unitNumber)
    builder.andWhere(
      'd.vehicle_id = (select v.id from vehicles v where v.fleet_id = :fleetId and v.unit_number = :unitNumber)',
      { fleetId, unitNumber },
    );
  if (depotId)
    builder.andWhere(
      'exists (select from vehicles v where v.fleet_id = d.fleet_id and v.id = d.vehicle_id and v.depot_id = :depotId)',
      { depotId },
    );
  if (topUp === 'held') builder.andWhere(HELD_TOP_UP);
  if (state === 'open') builder.andWhere(OPEN);
  else if (state) builder.andWhere('d.state = :state', { state });
  if (role !== 'driver') return;
  const isNamed = vehicleId !== undefined || unitNumber !== undefined;
  const { condition, values } = posted();
  builder.andWhere(isNamed ? `(${condition} or ${OPEN})` : condition, values);
}

/** SQL that is true for the defects `d` that the present token or sign-in posted. */
function posted(): { condition: string; values: Record<string, unknown> } {
  const { tokenId, actor } = fleetScope();
  return tokenId === null
    ? { condition: '(d.token_id is null and d.posted_by = :subject)', values: { subject: actor?.id ?? '' } }
    : { condition: 'd.token_id = :tokenId', values: { tokenId } };
}

/** What decides whether a defect can be taken. */
export interface Standing {
  /** Content hash of the defect with the id, if it is known already. */
  knownHash: Buffer | null;
  /** How many open defects the vehicle has. */
  open: number;
}

export async function standingBefore(
  tx: EntityManager,
  vehicleId: string,
  id: string | null,
): Promise<Standing> {
  const [row] = await tx.query<Standing[]>(
    `select (select t.content_hash from defects t where t.fleet_id = $1 and t.id = $3) as "knownHash",
       (select count(*)::int from defects d where d.fleet_id = $1 and d.vehicle_id = $2 and ${OPEN}) as open`,
    [fleetScope().fleetId, vehicleId, id],
  );
  return row ?? { knownHash: null, open: 0 };
}

/** The belts on the spec sheet of a vehicle. */
export async function beltsOf(tx: EntityManager, vehicleId: string): Promise<SpecBelt[]> {
  const [row] = await tx.query<{ belts: SpecBelt[] | null }[]>(
    `select s.belts from vehicles v join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
     where v.fleet_id = $1 and v.id = $2`,
    [fleetScope().fleetId, vehicleId],
  );
  return row?.belts ?? [];
}
