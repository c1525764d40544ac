import { runStatement } from '../../platform/database/statement.js';
import type { EntityManager } from 'typeorm';

/**
 * Writes outbox rows, in the transaction that stores what may be news. If a vehicle already has a
 * waiting row, that row is locked until the transaction ends, so that no sweep takes it too early.
 * If the vehicle is being swept at this moment, a second row is written. Never waits for a lock.
 *
 * @param vehicleIds vehicles that the transaction has locked
 */
export async function requestSweeps(tx: EntityManager, fleetId: string, vehicleIds: string[]): Promise<void> {
  await runStatement(tx, {
    name: 'request_sweeps',
    text: `insert into sweep_requests (fleet_id, vehicle_id)
     select $1, v.id from unnest($2::uuid[]) v(id)
     where v.id not in (
       select held.vehicle_id from (
         select s.vehicle_id from sweep_requests s where s.fleet_id = $1 and s.vehicle_id = any($2::uuid[]) for key share skip locked) held)`,
    values: [fleetId, vehicleIds],
  });
}
