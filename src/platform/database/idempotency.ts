import type { EntityManager } from 'typeorm';
import { Problem } from '../problems/problem.js';
import type { FleetScope } from '../scope/fleet-scope.js';
import { message } from './messages.js';

/** How long an answer is kept. After that, the key counts as new. */
export const KEPT_FOR_MS = 24 * 3_600_000;

type Idempotency = NonNullable<FleetScope['idempotency']>;

export interface KeptAnswer {
  status: number;
  body: unknown;
}

interface StoredAnswer extends KeptAnswer {
  requestHash: Buffer;
  createdAt: Date;
}

/**
 * Keeps other requests with the same key out until this transaction ends. @throws Problem 409 when
 * another request holds the key
 */
export async function lockKey(tx: EntityManager, fleetId: string, { operation, key }: Idempotency) {
  const [lock] = await tx.query<{ free: boolean }[]>(
    'select pg_try_advisory_xact_lock(hashtextextended($1, 0)) as free',
    [`${fleetId} ${operation} ${key}`],
  );
  if (lock?.free) return;
  throw new Problem(
    409,
    'still-in-flight',
    message('key-in-flight'),
    [{ header: 'Idempotency-Key', detail: message('key-in-flight-here') }],
    { 'retry-after': '1' },
  );
}

/**
 * Returns the answer to an earlier request with this key; null when there was none in the last 24
 * hours. Removes an older record to make room for the new one. The worker removes the others.
 *
 * @throws Problem 422 when the key was used for a different request
 */
export async function recordedAnswer(
  tx: EntityManager,
  fleetId: string,
  { operation, key, requestHash }: Idempotency,
  now: Date,
): Promise<KeptAnswer | null> {
  const own = [fleetId, operation, key];
  const [stored] = await tx.query<StoredAnswer[]>(
    `select request_hash as "requestHash", status, body, created_at as "createdAt" from idempotency_records
     where fleet_id = $1 and operation = $2 and key = $3`,
    own,
  );
  if (!stored) return null;
  if (stored.createdAt.getTime() <= now.getTime() - KEPT_FOR_MS) {
    await tx.query(
      'delete from idempotency_records where fleet_id = $1 and operation = $2 and key = $3',
      own,
    );
    return null;
  }
  if (stored.requestHash.equals(requestHash)) return stored;
  throw new Problem(422, 'key-reused', message('key-reused'), [
    { header: 'Idempotency-Key', detail: message('key-reused-here') },
  ]);
}

export async function keepAnswer(
  tx: EntityManager,
  fleetId: string,
  { operation, key, requestHash }: Idempotency,
  { status, body }: KeptAnswer,
  now: Date,
): Promise<void> {
  await tx.query(
    `insert into idempotency_records (fleet_id, operation, key, request_hash, status, body, created_at)
     values ($1, $2, $3, $4, $5, $6, $7)`,
    [fleetId, operation, key, requestHash, status, JSON.stringify(body), now],
  );
}

export function removingOldAnswers(
  fleetId: string,
  now: Date,
  limit: number,
): { text: string; values: unknown[] } {
  return {
    text: `with old as (
       select fleet_id, operation, key from idempotency_records
       where fleet_id = $1 and created_at <= $2 order by created_at limit $3),
     gone as (
       delete from idempotency_records r using old
       where r.fleet_id = old.fleet_id and r.operation = old.operation and r.key = old.key and r.created_at <= $2 returning 1)
     select count(*)::int as count from gone`,
    values: [fleetId, new Date(now.getTime() - KEPT_FOR_MS).toISOString(), limit],
  };
}

/** Removes some of the fleet's expired answers, the oldest first. @returns how many */
export async function removeOldAnswers(
  manager: EntityManager,
  fleetId: string,
  now: Date,
  limit: number,
): Promise<number> {
  const { text, values } = removingOldAnswers(fleetId, now, limit);
  const [removed] = await manager.query<{ count: number }[]>(text, values);
  return removed?.count ?? 0;
}
