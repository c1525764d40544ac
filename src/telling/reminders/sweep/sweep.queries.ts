import type { EntityManager } from 'typeorm';
import { IS_LIVE } from '../news/target-filter.sql.js';
import type { Urgent } from '../../../entities/reminder.entity.js';

/** A target that is switched on, with what decides whether and when it hears of something. */
export interface LiveTarget {
  targetId: string;
  hears: string[];
  digest: string;
  sendFrom: string | null;
  sendTo: string | null;
  urgent: Urgent;
}

export function liveTargets(manager: EntityManager, fleetId: string): Promise<LiveTarget[]> {
  return manager.query<LiveTarget[]>(
    `select t.id as "targetId", t.hears, t.digest, t.send_from as "sendFrom", t.send_to as "sendTo", t.urgent
     from reminder_targets t where t.fleet_id = $1 and ${IS_LIVE} order by t.id`,
    [fleetId],
  );
}

export async function markSwept(manager: EntityManager, fleetId: string, today: string): Promise<void> {
  await manager.query(
    `insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2)
     on conflict (fleet_id) do update set swept_on = greatest(fleet_sweeps.swept_on, excluded.swept_on)`,
    [fleetId, today],
  );
}
