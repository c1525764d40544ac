import type { EntityManager } from 'typeorm';
import { lockRoom, noRoomYet } from '../../platform/limits/fleet-room.js';
import { message } from './messages.js';

const UNSOLVED = `fleet_id = $1 and state in ('waiting', 'solving')`;

/**
 * The fleet's next plan to solve: first a plan that a worker began and abandoned, then the oldest.
 */
export async function nextPlan(
  manager: EntityManager,
  fleetId: string,
): Promise<{ id: string; round: number } | null> {
  const [next] = await manager.query<{ id: string; round: number }[]>(
    `select id, round from visit_plans where ${UNSOLVED} order by state = 'waiting', id limit 1`,
    [fleetId],
  );
  return next ?? null;
}

/**
 * @param seconds how long the solver works on a plan
 * @throws Problem 429 when the fleet has reached its limit of waiting plans
 */
export async function assertRoomForPlan(
  tx: EntityManager,
  fleetId: string,
  limit: number,
  seconds: number,
): Promise<void> {
  await lockRoom(tx, fleetId, 'visit plans');
  const [row] = await tx.query<{ present: number }[]>(
    `select count(*)::int as present from visit_plans where ${UNSOLVED}`,
    [fleetId],
  );
  const present = row?.present ?? 0;
  if (present < limit) return;
  throw noRoomYet(
    'too-many-plans-waiting',
    message('plan-too-many-waiting', { present, limit, seconds }),
    { limit, present },
    seconds,
  );
}
