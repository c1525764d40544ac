import type { EntityManager } from 'typeorm';
import type { FleetScope } from '../scope/fleet-scope.js';
import type { ImportAnswer } from './import.dto.js';

export const IMPORT_KINDS = ['vehicles', 'usage-readings', 'job-reports'] as const;
export type ImportKind = (typeof IMPORT_KINDS)[number];

/** Inserts the record of an import. It must come before the rows, which refer to it. */
export async function insertImport(
  tx: EntityManager,
  { fleetId, actor, role }: FleetScope,
  begun: { id: string; kind: ImportKind; sha256: string; at: Date },
): Promise<void> {
  await tx.query(
    `insert into imports (fleet_id, id, kind, sha256, imported_at, actor_kind, actor, role) values ($1, $2, $3, decode($4, 'hex'), $5, $6, $7, $8)`,
    [
      fleetId,
      begun.id,
      begun.kind,
      begun.sha256,
      begun.at,
      actor?.kind ?? 'service',
      actor?.id ?? 'service',
      role,
    ],
  );
}

/** Stores the outcome of an import. */
export async function concludeImport(
  tx: EntityManager,
  { fleetId }: FleetScope,
  { id, fileName }: { id: string; fileName: string | null },
  { rows, accepted, duplicate, held, rejected, reading }: ImportAnswer,
): Promise<void> {
  await tx.query(
    `update imports set file_name = $3, rows = $4, accepted = $5, duplicate = $6, held = $7, rejected = $8, reading = $9 where fleet_id = $1 and id = $2`,
    [fleetId, id, fileName, rows, accepted, duplicate, held, rejected, JSON.stringify(reading)],
  );
}

/**
 * Takes the fleet's import lock, and returns false when another transaction holds it. Imports and
 * undos run one at a time: two at once could lock each other's vehicles and deadlock.
 */
export async function isOnlyImport(tx: EntityManager, { fleetId }: FleetScope): Promise<boolean> {
  const [lock] = await tx.query<{ free: boolean }[]>(
    'select pg_try_advisory_xact_lock(hashtextextended($1, 0)) as free',
    [`import ${fleetId}`],
  );
  return lock?.free === true;
}
