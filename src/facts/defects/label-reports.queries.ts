import type { EntityManager } from 'typeorm';
import { fleetScope } from '../../platform/scope/fleet-scope.js';

/** What decides whether a report by a label can be taken. */
export interface Unseen {
  /** Content hash of the defect with the id, if it is known already. */
  knownHash: Buffer | null;
  /** Whether that is a report by the label of the same vehicle. */
  isByLabel: boolean;
  /** How many reports by the vehicle's label wait until somebody looks at them. */
  unseen: number;
}

export async function unseenBefore(tx: EntityManager, vehicleId: string, id: string): Promise<Unseen> {
  const [row] = await tx.query<Unseen[]>(
    `select k.content_hash as "knownHash", coalesce(k.via_label and k.vehicle_id = $2, false) as "isByLabel",
       (select count(*)::int from defects d
        where d.fleet_id = $1 and d.vehicle_id = $2 and d.via_label and d.state = 'reported') as unseen
     from (values (1)) one left join defects k on k.fleet_id = $1 and k.id = $3`,
    [fleetScope().fleetId, vehicleId, id],
  );
  return row ?? { knownHash: null, isByLabel: false, unseen: 0 };
}
