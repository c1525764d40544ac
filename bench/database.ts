import { copyFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { migrate } from '../src/platform/migration/migrate.js';
import { startEmbedded } from '../src/platform/embedded/embedded-postgres.js';
import { schema } from '../src/schema.js';

/** A PostgreSQL for this benchmark, in a directory that is deleted with it. */
export interface BenchServer {
  version: string;
  /** Creates a migrated, empty database. @returns its URL, as the superuser */
  newDatabase(name: string): Promise<string>;
  stop(): Promise<void>;
}

/**
 * Starts PostgreSQL with durability as in production: without waiting for the disk, commits would
 * be too cheap, which favours the side that commits more often.
 */
export async function startServer(
  say: (what: string) => void,
  profileDir: string | null,
): Promise<BenchServer> {
  const dataDir = await mkdtemp(join(tmpdir(), 'weephole-bench-'));
  const server = await startEmbedded({ dataDir, durable: true, onProgress: say });
  const admin = await connect(server.url);
  // Keeps checkpoints after filling the tables from distorting the measurement.
  await admin.query("alter system set max_wal_size = '8GB'");
  await admin.query("alter system set checkpoint_timeout = '30min'");
  await admin.query("alter system set maintenance_work_mem = '512MB'");
  if (profileDir !== null) {
    await admin.query("alter system set session_preload_libraries = 'auto_explain'");
    await admin.query('select pg_reload_conf()');
    for (const setting of [
      'log_min_duration = 20',
      'log_analyze = on',
      'log_buffers = on',
      'log_triggers = on',
      'log_parameter_max_length = 0',
    ])
      await admin.query(`alter system set auto_explain.${setting}`);
  }
  await admin.query('select pg_reload_conf()');
  await admin.query('create database bench_template');
  await migrate(named(server.url, 'bench_template'), schema);
  const { rows } = await admin.query<{ version: string }>(
    "select current_setting('server_version') as version",
  );
  return {
    version: rows[0]?.version ?? 'unknown',
    async newDatabase(name) {
      await admin.query(`create database ${name} template bench_template strategy file_copy`);
      return named(server.url, name);
    },
    async stop() {
      await admin.end();
      await server.stop();
      if (profileDir !== null)
        await copyFile(join(dataDir, 'postgres.log'), join(profileDir, 'postgres.log'));
      await rm(dataDir, { recursive: true, force: true });
    },
  };
}

export async function connect(url: string, options?: pg.ClientConfig): Promise<pg.Client> {
  const client = new pg.Client({ connectionString: url, ...options });
  // The next query reports a broken connection. When the server is stopped after a failure, there
  // is no next query.
  client.on('error', () => undefined);
  await client.connect();
  return client;
}

function named(url: string, database: string): string {
  const changed = new URL(url);
  changed.pathname = `/${database}`;
  return changed.href;
}

/** Runs work that fills tables, without foreign-key checks and without waiting for the disk. */
export async function filling<T>(admin: pg.Client, work: () => Promise<T>): Promise<T> {
  await admin.query('set session_replication_role = replica');
  await admin.query('set synchronous_commit = off');
  await admin.query("set work_mem = '256MB'");
  try {
    return await work();
  } finally {
    await admin.query('reset all');
  }
}

/**
 * Fills tables without their plain indexes and creates those afterwards: a million single
 * insertions into seven trees take much longer than seven sorts.
 */
export async function withoutIndexes(
  admin: pg.Client,
  tables: string[],
  work: () => Promise<void>,
): Promise<void> {
  const { rows } = await admin.query<{ name: string; definition: string }>(
    `select i.indexrelid::regclass::text as name, pg_get_indexdef(i.indexrelid) as definition
     from pg_index i where i.indrelid = any($1::regclass[]) and not exists (select from pg_constraint c where c.conindid = i.indexrelid)`,
    [tables],
  );
  for (const { name } of rows) await admin.query(`drop index ${name}`);
  await work();
  for (const { definition } of rows) await admin.query(definition);
}
