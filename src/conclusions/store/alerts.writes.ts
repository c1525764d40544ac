import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';
import type { LossAlertEpisode } from '../../domain/loss/facts/types.js';

export interface FoundAlert {
  id: string;
  /** Null for a batch of parts. */
  vehicleId: string | null;
  episode: LossAlertEpisode;
}

/**
 * Stores what the loss watch found. An alert whose facts were voided stays on record, marked as no
 * longer standing.
 */
export async function saveAlerts(
  tx: EntityManager,
  fleetId: string,
  found: FoundAlert[],
  fallen: string[],
): Promise<void> {
  if (found.length === 0 && fallen.length === 0) return;
  const rows = found.map(({ id, vehicleId, episode }) => ({ ...episode, id, vehicleId }));
  await runStatement(tx, {
    name: 'save_alerts',
    text: `with falling as (update loss_alerts set is_standing = false where fleet_id = $1 and id = any($3::uuid[]))
     insert into loss_alerts as a (fleet_id, id, vehicle_id, key, kind, circuit, status, raised_at, cleared_at, cleared_by, shelved_until, returned,
       members, evidence, computed, check_next, cautions, is_standing)
     select $1, r.*, true from jsonb_to_recordset($2::jsonb) as r(id uuid, "vehicleId" uuid, key text, kind text, circuit text, status text, "raisedAt" timestamptz,
       "clearedAt" timestamptz, "clearedBy" text, "shelvedUntil" timestamptz, returned boolean, members jsonb, evidence jsonb, computed jsonb,
       "checkNext" jsonb, cautions jsonb)
     on conflict (fleet_id, id) do update set status = excluded.status, raised_at = excluded.raised_at, cleared_at = excluded.cleared_at,
       cleared_by = excluded.cleared_by, shelved_until = excluded.shelved_until, returned = excluded.returned, members = excluded.members,
       evidence = excluded.evidence, computed = excluded.computed, check_next = excluded.check_next, cautions = excluded.cautions, is_standing = true`,
    values: [fleetId, JSON.stringify(rows), fallen],
  });
}
