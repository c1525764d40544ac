import type { EntityManager } from 'typeorm';
import type { ReEvaluationRecord } from '../../domain/conclusions/vehicle-history.js';

/** Why a reading's limits changed. */
export type ReEvaluationCause =
  'moved-to-another-depot' | 'depot-low-temperature' | 'vehicle-low-temperature';

export interface NewReEvaluation extends ReEvaluationRecord {
  vehicleId: string;
  why: ReEvaluationCause;
}

/**
 * Stores new verdicts on earlier readings. Their position on the vehicle's usage is stored later,
 * with the other conclusions.
 */
export async function insertReEvaluations(
  tx: EntityManager,
  fleetId: string,
  tokenId: string | null,
  made: NewReEvaluation[],
): Promise<void> {
  if (made.length === 0) return;
  const rows = made.map(({ at, ...record }) => ({ ...record, judgedAt: new Date(at) }));
  await tx.query(
    `insert into re_evaluations (fleet_id, id, vehicle_id, reading_id, judged_at, evaluation, limits, why, token_id)
     select $1, r.id, r."vehicleId", r."readingId", r."judgedAt", r.evaluation, r.limits, r.why, $3
     from jsonb_to_recordset($2::jsonb) as r(id uuid, "vehicleId" uuid, "readingId" uuid, "judgedAt" timestamptz, evaluation jsonb, limits jsonb, why text)`,
    [fleetId, JSON.stringify(rows), tokenId],
  );
}
