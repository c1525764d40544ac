import { execFileSync } from 'node:child_process';
import { mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type EmbeddedServer, startEmbedded } from '../../src/platform/embedded/embedded-postgres.js';

/**
 * A PostgreSQL for one test, which may stop and start it; the server shared by the whole run must
 * stay up. It is stopped in good order, so it loses nothing, even if it is not durable.
 */
export interface OwnPostgres {
  /** URL of the migrated database; the same after every start. */
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
  // Copy a cluster that the run has migrated: creating and migrating one takes some seconds.
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
