import { chownSync, copyFileSync, chmodSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { buildApi } from '../../../src/bootstrap.api.js';
import { createFleet } from '../../../src/register/fleets/create-fleet.js';
import { TokenHolders } from '../../../src/platform/access/token-holders.js';
import { readConfig } from '../../../src/platform/config/config.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { ensureLogins, serviceUrls } from '../../../src/platform/migration/logins.js';
import { migrate } from '../../../src/platform/migration/migrate.js';
import { WorkRunner } from '../../../src/platform/queue/work-runner.js';
import { schema } from '../../../src/schema.js';
import { type Authority, createAuthority } from '../../support/certificates.js';
import { type OwnPostgres, startOwnPostgres } from '../../support/own-postgres.js';
import { until } from '../../support/receiver.js';
import { clientOf } from '../../support/service.js';

describe('a PostgreSQL over TLS with sslmode=verify-full', () => {
  let postgres: OwnPostgres;
  let ours: Authority;
  let another: Authority;

  beforeAll(async () => {
    ours = createAuthority();
    another = createAuthority();
    postgres = await startOwnPostgres();
    await ensureLogins(postgres.url);
    const admin = new pg.Client({ connectionString: postgres.url });
    await admin.connect();
    const { rows } = await admin.query<{ directory: string; hba: string }>(
      `select current_setting('data_directory') as directory, current_setting('hba_file') as hba`,
    );
    const { directory = '', hba = '' } = rows[0] ?? {};
    presentCertificate(directory, 'localhost');
    presentCertificate(directory, 'db.example');
    // From here on it takes nobody who does not encrypt.
    writeFileSync(hba, readFileSync(hba, 'utf8').replaceAll(/^host\b/gm, 'hostssl'));
    await admin.query(`alter system set ssl = on`);
    await useCertificate(admin, 'localhost');
    await admin.end();
  });
  afterAll(async () => {
    await postgres?.remove();
    ours?.remove();
    another?.remove();
  });

  /** Puts a certificate of our authority where the server can read it. */
  function presentCertificate(directory: string, hostname: string): void {
    const { uid, gid } = statSync(directory);
    const files = ours.certify(hostname);
    for (const [kind, from] of Object.entries(files)) {
      const to = join(directory, `${hostname}.${kind}`);
      copyFileSync(from, to);
      chownSync(to, uid, gid);
      chmodSync(to, 0o600);
    }
  }

  async function useCertificate(admin: pg.Client, hostname: string): Promise<void> {
    await admin.query(`alter system set ssl_cert_file = '${hostname}.cert'`);
    await admin.query(`alter system set ssl_key_file = '${hostname}.key'`);
    await admin.query('select pg_reload_conf()');
  }

  /** As an operator writes it: a name, the way to check, and the root certificate. */
  function over(url: string, root: string): string {
    const changed = new URL(url);
    changed.hostname = 'localhost';
    changed.search = `?sslmode=verify-full&sslrootcert=${encodeURIComponent(root)}`;
    return changed.href;
  }

  it('encrypts every connection: migrations, API, worker, queue, events, commands', async () => {
    expect(await migrate(over(postgres.url, ours.root), schema)).toEqual([]);
    const urls = serviceUrls(postgres.url);
    const env = { LOG_LEVEL: 'fatal', PORT: '0', METRICS_ADDRESS: 'off' };
    const config = readConfig(env, over(urls.app, ours.root), over(urls.sweep, ours.root));
    const fleet = { name: 'New', timeZone: 'UTC', units: 'si' } as const;
    const { token } = await createFleet(over(postgres.url, ours.root), fleet);
    const service = await buildApi(config, { withWorker: true });
    try {
      await service.listen(0, '127.0.0.1');
      await service.get(WorkRunner).untilReady();
      const url = await service.getUrl();
      expect((await clientOf(url, token).post('/v1/depots', { name: 'Ridge' })).status).toBe(201);
      const events = await fetch(`${url}/v1/due-list/events`, {
        headers: { authorization: `Bearer ${token}` },
      });
      expect(events.status).toBe(200);
      const admin = new pg.Client({ connectionString: over(postgres.url, ours.root) });
      await admin.connect();
      let rows: { who: string; ssl: boolean }[] = [];
      // A connection that is still being made has no user yet, and is not yet known to be
      // encrypted.
      const known = async (): Promise<void> => {
        const found = await admin.query<{ who: string; ssl: boolean }>(
          `select distinct application_name as who, ssl from pg_stat_activity join pg_stat_ssl using (pid)
           where backend_type = 'client backend' and usename is not null order by 1`,
        );
        rows = found.rows;
      };
      // The stream is answered before what it listens on is connected.
      await until(async () => {
        await known();
        return rows.some(({ who }) => who === 'weephole events');
      });
      await admin.end();
      await events.body?.cancel();
      expect(rows.filter(({ ssl }) => !ssl)).toEqual([]);
      const names = rows.map(({ who }) => who);
      for (const name of [
        'weephole',
        'weephole events',
        'weephole queue',
        'weephole sweep',
        'weephole tokens',
      ])
        expect(names).toContain(name);
    } finally {
      await service.close();
    }
  });

  it('is refused if its certificate is not from the authority in the address', async () => {
    const wrong = over(postgres.url, another.root);
    await expect(migrate(wrong, schema)).rejects.toThrow(/certificate/);
    const url = over(serviceUrls(postgres.url).app, another.root);
    const nothing = { entities: [], migrations: [] };
    await expect(
      openDataSource({
        url,
        role: 'weephole_app',
        poolSize: 1,
        applicationName: 'weephole',
        schema: nothing,
      }),
    ).rejects.toThrow(/certificate/);
    const holders = new TokenHolders(url);
    await expect(holders.find(Buffer.alloc(32), new Date())).rejects.toThrow(/certificate/);
    await holders.close();
  });

  it('is refused if its certificate is for another host', async () => {
    const admin = new pg.Client({ connectionString: over(postgres.url, ours.root) });
    await admin.connect();
    await useCertificate(admin, 'db.example');
    try {
      await expect(migrate(over(postgres.url, ours.root), schema)).rejects.toThrow(/altnames|does not match/);
    } finally {
      await useCertificate(admin, 'localhost');
      await admin.end();
    }
  });

  it('accepts no unencrypted connection', async () => {
    await expect(migrate(postgres.url, schema)).rejects.toMatchObject({ code: '28000' });
  });
});
