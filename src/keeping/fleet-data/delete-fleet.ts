import type pg from 'pg';
import { ConfigError } from '../../platform/config/config.js';
import { fileKey, type FileStore } from '../../platform/storage/file-store.js';
import { message as shared } from '../../platform/words/messages.js';
import { FilesOutOfReach } from './files-out-of-reach.js';
import { message } from './messages.js';
import { type FleetTable, fleetTables, referringFirst } from './fleet-tables.js';
import { asOwner, enterFleet, findFleet, inTransaction } from './owner-client.js';

export interface DeleteRequest {
  fleetId: string;
  /** The fleet's exact name. */
  confirm: string;
  store: FileStore;
  /**
   * Whether the files are known to be gone, for instance after restoring a backup of the database
   * alone.
   */
  filesAreGone?: boolean;
}

export interface DeletedFleet {
  fleetId: string;
  name: string;
  /** Deleted rows by table; only tables that had any. */
  removed: Record<string, number>;
  files: number;
}

const FILES_AT_A_TIME = 500;

/**
 * Deletes a fleet: its files first, then all its rows in one transaction. After an interruption,
 * run it again and it continues: a row stays as long as its file may still exist.
 *
 * @throws ConfigError when `confirm` is not the fleet's name
 */
export function deleteFleet(databaseUrl: string, request: DeleteRequest): Promise<DeletedFleet> {
  return asOwner(databaseUrl, 'delete-fleet', async (client) => {
    const { id: fleetId, name } = await findFleet(client, request.fleetId);
    if (request.confirm !== name)
      throw new ConfigError(message('command-confirm-name', { given: request.confirm, name }));
    await enterFleet(client, fleetId);
    if (!request.filesAreGone) await assertFilesInReach(client, request.store, fleetId);
    // From here on, nobody can write for the fleet with one of its tokens, nor sign in.
    await client.query(
      'update access_tokens set revoked_at = now() where fleet_id = $1 and revoked_at is null',
      [fleetId],
    );
    await client.query('delete from sessions where fleet_id = $1', [fleetId]);
    await client.query('delete from sign_in_links where fleet_id = $1', [fleetId]);
    let files = request.filesAreGone ? 0 : await removeFiles(client, request.store, fleetId);
    const tables = referringFirst(await fleetTables(client));
    const { removed, late } = await inTransaction(client, () => deleteRows(client, tables, fleetId));
    // A request that began earlier may have written rows meanwhile that nothing refers to.
    await inTransaction(client, () => deleteRows(client, tables, fleetId));
    // Files of uploads that were still in progress.
    for (const id of request.filesAreGone ? [] : late) {
      await request.store.remove(fileKey({ fleetId, id }));
      files++;
    }
    return { fleetId, name, removed, files };
  });
}

/** Checks before anything is changed: a file that is out of reach would stay behind for good. */
async function assertFilesInReach(client: pg.Client, store: FileStore, fleetId: string): Promise<void> {
  const { rows } = await client.query(
    'select from attachments where fleet_id = $1 and bytes_removed_at is null limit 1',
    [fleetId],
  );
  if (rows.length > 0 && !(await store.reaches(fleetId))) throw new FilesOutOfReach(fleetId);
}

/**
 * Removes the files of attachments and of abandoned uploads, and records their removal. @returns
 * how many
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
      `update attachments set voided_at = coalesce(voided_at, now()), void_reason = coalesce(void_reason, $3::jsonb),
         bytes_removed_at = now() where fleet_id = $1 and id = any($2::uuid[])`,
      [fleetId, ids, JSON.stringify(shared('voided-fleet-deleted'))],
    );
    await client.query('delete from attachment_uploads where fleet_id = $1 and id = any($2::uuid[])', [
      fleetId,
      ids,
    ]);
    files += ids.length;
  }
}

/**
 * Deletes every row of the fleet in the order that foreign keys require. Triggers write to other
 * tables meanwhile, so this repeats until nothing is left. The fleet itself goes last.
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
