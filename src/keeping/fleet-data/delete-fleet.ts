import type pg from 'pg';
import { ConfigError } from '../../platform/config/config.js';
import { fileKey, type FileStore } from '../../platform/storage/file-store.js';
import { FilesOutOfReach } from './files-out-of-reach.js';
import { type FleetTable, fleetTables, referringFirst } from './fleet-tables.js';
import { asOwner, enterFleet, findFleet, inTransaction } from './owner-client.js';

export interface DeleteRequest {
  fleetId: string;
  /** The fleet's name, letter for letter. */
  confirm: string;
  store: FileStore;
  /**
   * Whether the files are known to be gone, as after a backup of the database alone was restored.
   */
  filesAreGone?: boolean;
}

export interface DeletedFleet {
  fleetId: string;
  name: string;
  /** Rows by table; only where there were any. */
  removed: Record<string, number>;
  files: number;
}

const FILES_AT_A_TIME = 500;

/**
 * Deletes a fleet: its files, then every row of it in one transaction. A run that was cut off is
 * run again, and goes on where the other ended: as long as a file may be left, its row is.
 *
 * @throws ConfigError when the name is not that of the fleet
 */
export function deleteFleet(databaseUrl: string, request: DeleteRequest): Promise<DeletedFleet> {
  return asOwner(databaseUrl, 'delete-fleet', async (client) => {
    const { id: fleetId, name } = await findFleet(client, request.fleetId);
    if (request.confirm !== name)
      throw new ConfigError(
        `--confirm is "${request.confirm}"; the fleet's name is needed, letter for letter: "${name}"`,
      );
    await enterFleet(client, fleetId);
    if (!request.filesAreGone) await assertFilesInReach(client, request.store, fleetId);
    // From here on nobody may write for the fleet with a token of it.
    await client.query(
      'update access_tokens set revoked_at = now() where fleet_id = $1 and revoked_at is null',
      [fleetId],
    );
    let files = request.filesAreGone ? 0 : await removeFiles(client, request.store, fleetId);
    const tables = referringFirst(await fleetTables(client));
    const { removed, late } = await inTransaction(client, () => deleteRows(client, tables, fleetId));
    // What nothing refers to may have been written meanwhile, by a request that began before.
    await inTransaction(client, () => deleteRows(client, tables, fleetId));
    // An upload that was under way all the while.
    for (const id of request.filesAreGone ? [] : late) {
      await request.store.remove(fileKey({ fleetId, id }));
      files++;
    }
    return { fleetId, name, removed, files };
  });
}

/** Before anything is changed: a file that is out of reach would be left for good. */
async function assertFilesInReach(client: pg.Client, store: FileStore, fleetId: string): Promise<void> {
  const { rows } = await client.query(
    'select from attachments where fleet_id = $1 and bytes_removed_at is null limit 1',
    [fleetId],
  );
  if (rows.length > 0 && !(await store.reaches(fleetId))) throw new FilesOutOfReach(fleetId);
}

/**
 * Removes the files of attachments and of uploads that came to nothing, and notes it. @returns how
 * many
 */
async function removeFiles(client: pg.Client, store: FileStore, fleetId: string): Promise<number> {
  for (let files = 0; ;) {
    const { rows } = await client.query<{ id: string }>(
      `select id from attachments where fleet_id = $1 and bytes_removed_at is null
       union select id from attachment_uploads where fleet_id = $1 order by id limit $2`,
      [fleetId, FILES_AT_A_TIME],
    );
    if (rows.length === 0) return files;
    const ids = rows.map(({ id }) => id);
    for (const id of ids) await store.remove(fileKey({ fleetId, id }));
    await client.query(
      `update attachments set voided_at = coalesce(voided_at, now()), void_reason = coalesce(void_reason, 'the fleet is being deleted'),
         bytes_removed_at = now() where fleet_id = $1 and id = any($2::uuid[])`,
      [fleetId, ids],
    );
    await client.query('delete from attachment_uploads where fleet_id = $1 and id = any($2::uuid[])', [
      fleetId,
      ids,
    ]);
    files += ids.length;
  }
}

/**
 * Deletes every row of the fleet in the order that foreign keys ask for. Triggers write into
 * other tables while that is done, so it is gone over again until nothing is left, and the fleet
 * itself goes last.
 */
async function deleteRows(
  client: pg.Client,
  tables: readonly FleetTable[],
  fleetId: string,
): Promise<{ removed: Record<string, number>; late: string[] }> {
  const removed: Record<string, number> = {};
  const { rows } = await client.query<{ id: string }>(
    `select id from attachments where fleet_id = $1 and bytes_removed_at is null
     union select id from attachment_uploads where fleet_id = $1`,
    [fleetId],
  );
  for (let count = 1; count > 0;) {
    count = 0;
    for (const { name } of tables.filter((table) => table.name !== 'fleets')) {
      const { rowCount } = await client.query(`delete from ${name} where fleet_id = $1`, [fleetId]);
      if (rowCount) removed[name] = (removed[name] ?? 0) + rowCount;
      count += rowCount ?? 0;
    }
  }
  const { rowCount } = await client.query('delete from fleets where id = $1', [fleetId]);
  if (rowCount) removed.fleets = rowCount;
  return { removed, late: rows.map(({ id }) => id) };
}
