import { execFileSync } from 'node:child_process';
import { mkdtemp, realpath, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { startRedis } from '../redis-server.mjs';

/**
 * Starts one PostgreSQL for the whole run, with a migrated template that each test file clones.
 * Also prepares a migrated cluster for tests to copy that need a server of their own, and a Redis
 * if there is one.
 */
export default async function globalSetup() {
  const { startEmbedded, stopOnSignals } =
    await import('../../../dist/src/platform/embedded/embedded-postgres.js');
  const { ensureLogins } = await import('../../../dist/src/platform/migration/logins.js');
  const { migrate } = await import('../../../dist/src/platform/migration/migrate.js');
  const { schema } = await import('../../../dist/src/schema.js');
  const directory = async (name) => realpath(await mkdtemp(join(tmpdir(), `weephole-${name}-`)));
  const dataDir = await directory('test');
  const migrated = await directory('cluster');
  const first = await startEmbedded({ dataDir, durable: false });
  await migrate(first.url, schema);
  await first.stop();
  execFileSync('cp', ['-a', join(dataDir, 'postgres'), migrated]);
  process.env.WEEPHOLE_TEST_CLUSTER = join(migrated, 'postgres');

  const server = await startEmbedded({ dataDir, durable: false });
  stopOnSignals(server);
  const admin = new pg.Client({ connectionString: server.url });
  await admin.connect();
  await admin.query('create database weephole_template template weephole');
  await admin.end();
  const template = new URL(server.url);
  template.pathname = '/weephole_template';
  await ensureLogins(template.href);
  process.env.WEEPHOLE_TEST_SERVER = server.url;

  const redis = process.env.WEEPHOLE_TEST_WITH_REDIS === 'true' ? await startRedis() : null;
  if (redis) process.env.WEEPHOLE_TEST_REDIS = redis.url;

  globalThis.__weepholeTeardown = async () => {
    await redis?.stop();
    await server.stop();
    for (const made of [dataDir, migrated]) await rm(made, { recursive: true, force: true });
  };
}
