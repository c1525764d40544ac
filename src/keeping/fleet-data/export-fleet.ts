import { configure, ZipWriter } from '@zip.js/zip.js';
import type pg from 'pg';
import { Readable } from 'node:stream';
import { fileKey, FileMissing, type FileStore } from '../../platform/storage/file-store.js';
import type { Language } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';
import { FilesOutOfReach } from './files-out-of-reach.js';
import { type FleetTable, fleetTables } from './fleet-tables.js';
import { leftOut, withoutSecretFields } from './left-out.js';
import { message } from './messages.js';
import { asOwner, enterFleet, findFleet, type FleetName } from './owner-client.js';

export interface ExportRequest {
  fleetId: string;
  store: FileStore;
  /** Where to write the archive; closed when it is complete. */
  archive: WritableStream<Uint8Array>;
  now: Date;
}

interface TableExport {
  table: string;
  file: string;
  rows: number;
  columns: { name: string; type: string }[];
  leftOut: string[];
}

/** The archive's description of itself, `manifest.json`. */
export interface Manifest {
  format: 'weephole-fleet-export';
  version: 1;
  fleet: FleetName;
  exportedAt: string;
  /** The last migration of the database, which tells how to read the tables. */
  schema: string;
  /** What the files hold, in the fleet's language. */
  formats: Record<string, string>;
  tables: TableExport[];
  attachments: { files: number; bytes: number; missing: string[] };
}

/** What the files of the archive hold. */
const FORMATS = {
  'tables/*.jsonl': message('export-of-tables'),
  'attachments/*': message('export-of-attachments'),
};

function formatsIn(language: Language): Record<string, string> {
  const reader = { language, units: null };
  return Object.fromEntries(Object.entries(FORMATS).map(([files, what]) => [files, textOf(what, reader)]));
}

const ROWS_AT_A_TIME = 500;

const EXTENSIONS: Record<string, string> = {
  ...{ 'image/jpeg': 'jpg', 'image/png': 'png', 'image/webp': 'webp', 'application/pdf': 'pdf' },
};

/**
 * Writes everything kept about a fleet into one ZIP archive, as it was at one moment. Streams it
 * piece by piece.
 *
 * @throws Error when attachments are on record and this process cannot reach their storage
 */
export function exportFleet(databaseUrl: string, request: ExportRequest): Promise<Manifest> {
  // Compress in this thread: the library's own workers are browser workers.
  configure({ useWebWorkers: false });
  return asOwner(databaseUrl, 'export', async (client) => {
    const { language, ...fleet } = await findFleet(client, request.fleetId);
    await client.query('begin isolation level repeatable read read only');
    await enterFleet(client, fleet.id);
    const zip = new ZipWriter(request.archive, { lastModDate: request.now });
    const manifest: Manifest = {
      ...({ format: 'weephole-fleet-export', version: 1, fleet } as const),
      exportedAt: request.now.toISOString(),
      schema: await lastMigration(client),
      formats: formatsIn(language),
      tables: [],
      attachments: { files: 0, bytes: 0, missing: [] },
    };
    for (const table of await fleetTables(client))
      manifest.tables.push(await addTable(zip, client, table, fleet.id));
    await addAttachments(zip, client, request.store, fleet.id, manifest.attachments);
    await zip.add('manifest.json', { readable: streamOf([`${JSON.stringify(manifest, null, 2)}\n`]) });
    await client.query('rollback');
    await zip.close();
    return manifest;
  });
}

async function lastMigration(client: pg.Client): Promise<string> {
  const { rows } = await client.query<{ name: string }>(
    'select name from schema_migrations order by timestamp desc limit 1',
  );
  return rows[0]?.name ?? '';
}

/** Turns pieces of text into a stream that the archive accepts. */
function streamOf(pieces: Iterable<string> | AsyncIterable<string>): ReadableStream<Uint8Array> {
  return Readable.toWeb(Readable.from(pieces, { objectMode: false })) as ReadableStream<Uint8Array>;
}

async function addTable(
  zip: ZipWriter<unknown>,
  client: pg.Client,
  { name, columns, key, fleetColumn }: FleetTable,
  fleetId: string,
): Promise<TableExport> {
  const without = leftOut(name, columns);
  const file = `tables/${name}.jsonl`;
  let rows = 0;
  async function* lines(): AsyncGenerator<string> {
    const query = `select to_jsonb(t) - $2::text[] as row from ${name} t where ${fleetColumn} = $1 order by ${key.join(', ')}`;
    for await (const batch of batches<{ row: object }>(client, query, [fleetId, without])) {
      rows += batch.length;
      yield batch.map(({ row }) => `${JSON.stringify(withoutSecretFields(row))}\n`).join('');
    }
  }
  await zip.add(file, { readable: streamOf(lines()) });
  return {
    ...{ table: name, file, rows },
    columns: columns.filter((column) => !without.includes(column.name)),
    leftOut: without,
  };
}

/** Reads the rows of a query in batches, so that only one batch is in memory at a time. */
async function* batches<T extends object>(
  client: pg.Client,
  query: string,
  values: unknown[],
): AsyncGenerator<T[]> {
  await client.query(`declare batches no scroll cursor for ${query}`, values);
  for (;;) {
    const { rows } = await client.query<T>(`fetch ${ROWS_AT_A_TIME} from batches`);
    if (rows.length > 0) yield rows;
    if (rows.length < ROWS_AT_A_TIME) break;
  }
  await client.query('close batches');
}

async function addAttachments(
  zip: ZipWriter<unknown>,
  client: pg.Client,
  store: FileStore,
  fleetId: string,
  found: Manifest['attachments'],
): Promise<void> {
  const query =
    'select id, media_type from attachments where fleet_id = $1 and voided_at is null order by id';
  for await (const batch of batches<{ id: string; media_type: string }>(client, query, [fleetId])) {
    if (!(await store.reaches(fleetId))) throw new FilesOutOfReach(fleetId);
    for (const { id, media_type: mediaType } of batch) {
      const file = await store.open(fileKey({ fleetId, id })).catch((error: unknown) => {
        if (error instanceof FileMissing) return null;
        throw error;
      });
      if (file === null) {
        found.missing.push(id);
        continue;
      }
      const { uncompressedSize } = await zip.add(
        `attachments/${id}.${EXTENSIONS[mediaType] ?? 'bin'}`,
        { readable: Readable.toWeb(file) as ReadableStream<Uint8Array> },
        // Pictures are compressed already.
        { level: 0 },
      );
      found.files++;
      found.bytes += uncompressedSize;
    }
  }
}
