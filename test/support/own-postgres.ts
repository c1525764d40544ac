import { execFileSync } from 'node:child_process';
import { mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type EmbeddedServer, startEmbedded } from '../../src/platform/embedded/embedded-postgres.js';

/**
 * A PostgreSQL of a test's own, which it may stop and start: the one that the whole run shares must
 * stay up. It is stopped in good order, so it loses nothing, durable or not.
 */
export interface OwnPostgres {
  /** Of the migrated database; the same after every start. */
  url: string;
  stop(): Promise<void>;
  start(): Promise<void>;
  /** Stops it and removes its data. */
  remove(): Promise<void>;
}

function migratedCluster(): string {
  const path = process.env.WEEPHOLE_TEST_CLUSTER;
  if (!path) throw new Error('there is no migrated cluster; start the tests with npm test');
  return path;
}

export async function startOwnPostgres(): Promise<OwnPostgres> {
  const dataDir = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-own-')));
  // A copy of a cluster that the run has migrated: making one and migrating it takes some seconds.
  execFileSync('cp', ['-a', migratedCluster(), dataDir]);
  let server: EmbeddedServer | null = await startEmbedded({ dataDir, durable: false });
  const { url, port } = server;
  const own: OwnPostgres = {
    url,
    async stop() {
      await server?.stop();
      server = null;
    },
    async start() {
      server ??= await startEmbedded({ dataDir, durable: false, port });
      if (server.port !== port)
        throw new Error(`another program took the port ${port} of the test's PostgreSQL`);
    },
    async remove() {
      await own.stop();
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
  return own;
}
