import type { EntityManager } from 'typeorm';
import { lockRoom, noRoom } from '../../platform/limits/fleet-room.js';
import { message } from './messages.js';

const BYTES_PER_MB = 1024 * 1024;

/**
 * A size as people read it.
 *
 * @example megabytes(1_572_864) // '1.5 MB'
 */
const megabytes = (bytes: number): string => `${Math.ceil((10 * bytes) / BYTES_PER_MB) / 10} MB`;

/**
 * Checks that the fleet has room for a file. Uploads to the fleet then pass one at a time until the
 * transaction ends.
 *
 * @throws Problem 409 when the file is larger than the room left
 */
export async function assertFleetHasRoom(
  tx: EntityManager,
  fleetId: string,
  sizeBytes: number,
  limit: number,
): Promise<void> {
  await lockRoom(tx, fleetId, 'attachments');
  // A database function that sees all depots, because the token may be limited to some.
  const [row] = await tx.query<{ bytes: number }[]>('select attachment_bytes()::float8 as bytes');
  const present = row?.bytes ?? 0;
  if (present + sizeBytes <= limit) return;
  throw noRoom(
    'attachments-full',
    message('attachments-full', {
      size: megabytes(sizeBytes),
      present: megabytes(present),
      limit: megabytes(limit),
    }),
    { limit, present },
  );
}
