import { randomBytes } from 'node:crypto';
import { readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import pg from 'pg';
import { giveToOwnerOfDirectory } from './account.js';
import { EmbeddedPostgresError, errorCode } from './embedded-error.js';
import { message } from './messages.js';

/**
 * What the owner of a running server tells other processes. The URL contains the password, so the
 * file has mode 0600.
 */
export interface ServiceFile {
  url: string;
  port: number;
  /** The postmaster's pid. */
  pid: number;
  ownerPid: number;
  startedAt: string;
}

export function writeServiceFile(dataDir: string, content: ServiceFile): void {
  writePrivately(servicePath(dataDir), `${JSON.stringify(content, null, 2)}\n`);
}

export function removeServiceFile(dataDir: string): void {
  rmSync(servicePath(dataDir), { force: true });
}

/**
 * Finds the server of this data directory if one is running and answers, for a second process that
 * uses the server without owning it. Returns null otherwise. If the owner has been killed, its
 * server still answers, with the same data.
 */
export async function findRunning(dataDir: string): Promise<{ url: string } | null> {
  const file = readServiceFile(resolve(dataDir));
  if (!file) return null;
  try {
    await query(file.url, 'select 1');
    return { url: file.url };
  } catch {
    return null;
  }
}

/** Runs one statement on a connection of its own. */
export async function query<Row extends pg.QueryResultRow>(url: string, text: string): Promise<Row[]> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 5000 });
  // A connection that breaks after its last answer emits an error. Without a listener, that error
  // would end the process.
  client.on('error', () => undefined);
  try {
    await client.connect();
    return (await client.query<Row>(text)).rows;
  } finally {
    await client.end().catch(() => undefined);
  }
}

/** Writes a file that only its owner can read. The write is atomic. */
function writePrivately(path: string, content: string): void {
  const unfinished = `${path}.${randomBytes(4).toString('hex')}`;
  writeFileSync(unfinished, content, { mode: 0o600, flag: 'wx' });
  giveToOwnerOfDirectory(unfinished);
  renameSync(unfinished, path);
}

function servicePath(dataDir: string): string {
  return join(dataDir, 'service.json');
}

function readServiceFile(dataDir: string): ServiceFile | null {
  const path = servicePath(dataDir);
  try {
    const file = JSON.parse(readFileSync(path, 'utf8')) as Partial<ServiceFile>;
    return typeof file.url === 'string' ? (file as ServiceFile) : null;
  } catch (error) {
    if (errorCode(error) === 'EACCES') {
      const uid = String(statSync(path).uid);
      throw new EmbeddedPostgresError(message('embedded-service-file-of-other-user', { path, uid }));
    }
    if (errorCode(error) === undefined || errorCode(error) === 'ENOENT' || errorCode(error) === 'ENOTDIR')
      return null;
    throw error;
  }
}
