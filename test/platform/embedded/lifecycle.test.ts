import { chmodSync, existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { join } from 'node:path';
import pg from 'pg';
import { findRunning, startEmbedded } from '../../../src/platform/embedded/embedded-postgres.js';
import {
  cleanUp,
  preparedDataDir,
  removePrepared,
  processesOf,
  sql,
  startOwner,
  temporaryDirectory,
  until,
  untilStopped,
} from './support.js';

afterEach(cleanUp);
afterAll(removePrepared);

const quick = { durable: false };

describe('the embedded PostgreSQL', () => {
  it('starts, answers at its URL, and leaves nothing running when stopped', async () => {
    const parent = temporaryDirectory();
    chmodSync(parent, 0o755);
    const dataDir = join(parent, 'made', 'on', 'demand');
    const server = await startEmbedded({ dataDir, ...quick });
    const cluster = join(dataDir, 'postgres');

    expect(await sql(server.url, 'select current_database() as name')).toEqual([{ name: 'weephole' }]);
    expect(new URL(server.url).hostname).toBe('127.0.0.1');
    expect(server.takenOver).toBe(false);
    expect(processesOf(cluster)).toEqual([server.pid]);

    await server.stop();
    expect(processesOf(cluster)).toEqual([]);
    expect(existsSync(join(dataDir, 'service.json'))).toBe(false);
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
    await server.stop();
  });

  it('keeps its data over a restart', async () => {
    const dataDir = await preparedDataDir();
    const first = await startEmbedded({ dataDir, ...quick });
    await sql(first.url, "create table kept as select 'coolant' as word");
    await first.stop();

    const second = await startEmbedded({ dataDir, ...quick });
    expect(await sql(second.url, 'select word from kept')).toEqual([{ word: 'coolant' }]);
    expect(second.takenOver).toBe(false);
    await second.stop();
  });

  it('stops even if clients are connected and busy', async () => {
    const server = await startEmbedded({ dataDir: await preparedDataDir(), ...quick });
    const asleep = sql(server.url, 'select pg_sleep(60)').catch((error: unknown) => error);
    await server.stop();
    // 57P01 is admin_shutdown in PostgreSQL's table of error codes (appendix A of its manual). A
    // client that had not finished connecting sees the connection close.
    expect(String(await asleep)).toMatch(
      /terminating connection|terminated unexpectedly|ECONNRESET|ECONNREFUSED|shutting down/,
    );
  });

  it('is safe against power loss, unless its data are meant to be thrown away', async () => {
    const settings = `select name, setting from pg_settings
      where name in ('fsync', 'full_page_writes', 'synchronous_commit') order by name`;
    const durable = await startEmbedded({ dataDir: await preparedDataDir() });
    expect((await sql<{ setting: string }>(durable.url, settings)).map((row) => row.setting)).toEqual([
      'on',
      'on',
      'on',
    ]);
    await durable.stop();

    const throwaway = await startEmbedded({ dataDir: await preparedDataDir(), ...quick });
    expect((await sql<{ setting: string }>(throwaway.url, settings)).map((row) => row.setting)).toEqual([
      'off',
      'off',
      'off',
    ]);
    await throwaway.stop();
  });

  it('behaves the same on every machine: UTC, UTF-8, one collation, in any environment', async () => {
    process.env['PGDATA'] = '/nowhere';
    process.env['TZ'] = 'America/Denver';
    const server = await startEmbedded({ dataDir: await preparedDataDir(), ...quick }).finally(() => {
      delete process.env['PGDATA'];
      delete process.env['TZ'];
    });
    const [row] = await sql(
      server.url,
      `select current_setting('TimeZone') as zone, current_setting('server_encoding') as encoding,
              datlocprovider as provider, datlocale as locale, current_setting('server_version_num')::int / 10000 as major
         from pg_database where datname = current_database()`,
    );
    expect(row).toEqual({ zone: 'UTC', encoding: 'UTF8', provider: 'b', locale: 'C.UTF-8', major: 18 });
    await server.stop();
  });

  it('listens only on the loopback address, without a socket file, and needs its password', async () => {
    const dataDir = await preparedDataDir();
    const server = await startEmbedded({ dataDir, ...quick });
    const [row] = await sql(
      server.url,
      "select current_setting('listen_addresses') as addresses, current_setting('unix_socket_directories') as sockets",
    );
    expect(row).toEqual({ addresses: '127.0.0.1', sockets: '' });

    const url = new URL(server.url);
    expect(url.password.length).toBeGreaterThanOrEqual(32);
    url.password = 'wrong';
    await expect(sql(url.href, 'select 1')).rejects.toThrow('password authentication failed');
    url.password = '';
    const without = new pg.Client({ connectionString: url.href, password: () => '' });
    await expect(without.connect()).rejects.toThrow(/password/);
    await without.end();

    for (const file of ['service.json', 'owner.lock', 'postgres.log', 'postgres/weephole.password']) {
      expect([file, statSync(join(dataDir, file)).mode & 0o777]).toEqual([file, 0o600]);
    }
    await server.stop();
  });

  it('picks another port if the wanted one is in use', async () => {
    const holder = createServer();
    await new Promise<void>((done) => holder.listen(0, '127.0.0.1', done));
    const taken = (holder.address() as AddressInfo).port;
    const server = await startEmbedded({ dataDir: await preparedDataDir(), ...quick, port: taken });
    expect(server.port).not.toBe(taken);
    expect(await sql(server.url, 'select 1 as one')).toEqual([{ one: 1 }]);
    const wanted = server.port;
    await server.stop();
    await new Promise((done) => holder.close(done));

    const again = await startEmbedded({ dataDir: await preparedDataDir(), ...quick, port: wanted });
    expect(again.port).toBe(wanted);
    await again.stop();
  });

  it('says what it is doing', async () => {
    const dataDir = temporaryDirectory();
    const said: string[] = [];
    const server = await startEmbedded({ dataDir, ...quick, onProgress: (message) => said.push(message) });
    await server.stop();
    expect(said).toEqual([`Creating the database in ${dataDir}/postgres.`]);
  });

  it('reports that the server has ended by itself', async () => {
    const said: string[] = [];
    const server = await startEmbedded({
      dataDir: await preparedDataDir(),
      ...quick,
      onProgress: (message) => said.push(message),
    });
    process.kill(server.pid, 'SIGKILL');
    await until(() => said.length > 0);
    expect(said[0]).toMatch(
      new RegExp(
        `PostgreSQL \\(pid ${server.pid}\\) stopped unexpectedly \\(SIGKILL\\)\\. Restarting it; see .*postgres\\.log$`,
      ),
    );
    await server.stop();
  });
});

describe('a data directory with an owner', () => {
  it('is refused to a second start in the same process', async () => {
    const dataDir = await preparedDataDir();
    const server = await startEmbedded({ dataDir, ...quick });
    await expect(startEmbedded({ dataDir, ...quick })).rejects.toThrow(
      new RegExp(`in use by this very process \\(pid ${process.pid}`),
    );
    expect(await sql(server.url, 'select 1 as one')).toEqual([{ one: 1 }]);
    await server.stop();
  });

  it('is refused to another process, with the owner and what to do', async () => {
    const dataDir = await preparedDataDir();
    const server = await startEmbedded({ dataDir, ...quick });
    const { refused } = await startOwner(dataDir).hear();
    expect(refused).toContain(`in use by another process (pid ${process.pid}`);
    expect(refused).toContain(`kill ${process.pid}`);
    expect(refused).toContain('WEEPHOLE_DATA_DIR');
    expect(await sql(server.url, 'select 1 as one')).toEqual([{ one: 1 }]);
    await server.stop();
  });

  it('goes to exactly one of several processes that start at the same moment', async () => {
    const dataDir = temporaryDirectory();
    // The lock of a dead process makes it harder, because all of them have to replace it.
    writeFileSync(
      join(dataDir, 'owner.lock'),
      JSON.stringify({ pid: 2 ** 22 + 1, startToken: 'gone', since: 'long ago' }),
    );
    const owners = [1, 2, 3, 4].map(() => startOwner(dataDir));
    const said = await Promise.all(owners.map((owner) => owner.hear()));
    expect(said.filter((words) => words.url)).toHaveLength(1);
    expect(said.filter((words) => words.refused)).toHaveLength(3);
    owners[said.findIndex((words) => words.url)]!.child.stdin!.write('stop\n');
    await untilStopped(join(dataDir, 'postgres'));
  });

  it('can be used by a second process through service.json', async () => {
    const dataDir = await preparedDataDir();
    expect(await findRunning(dataDir)).toBeNull();
    const server = await startEmbedded({ dataDir, ...quick });
    expect(await findRunning(dataDir)).toEqual({ url: server.url });
    const file = JSON.parse(readFileSync(join(dataDir, 'service.json'), 'utf8')) as Record<string, unknown>;
    expect(file).toMatchObject({
      url: server.url,
      port: server.port,
      pid: server.pid,
      ownerPid: process.pid,
    });
    expect(Date.now() - Date.parse(String(file['startedAt']))).toBeLessThan(60_000);

    const copy = readFileSync(join(dataDir, 'service.json'));
    await server.stop();
    expect(await findRunning(dataDir)).toBeNull();
    // As after a power failure: the file is there, the server is not.
    writeFileSync(join(dataDir, 'service.json'), copy);
    expect(await findRunning(dataDir)).toBeNull();
  });
});

describe('a directory that cannot be opened', () => {
  it('is left alone and named if another major version made it', async () => {
    const dataDir = await preparedDataDir();
    const server = await startEmbedded({ dataDir, ...quick });
    await server.stop();
    writeFileSync(join(dataDir, 'postgres', 'PG_VERSION'), '17\n');
    await expect(startEmbedded({ dataDir, ...quick })).rejects.toThrow(
      /was made by PostgreSQL 17; this version of the service brings PostgreSQL 18.*Nothing was changed.*pg_dump/,
    );
    writeFileSync(join(dataDir, 'postgres', 'PG_VERSION'), '18\n');
    await (await startEmbedded({ dataDir, ...quick })).stop();
  });

  it('is left alone if it holds something else', async () => {
    const dataDir = temporaryDirectory();
    mkdirSync(join(dataDir, 'postgres'));
    writeFileSync(join(dataDir, 'postgres', 'notes.txt'), 'mine');
    await expect(startEmbedded({ dataDir, ...quick })).rejects.toThrow(
      /neither empty nor a PostgreSQL database/,
    );
    expect(readFileSync(join(dataDir, 'postgres', 'notes.txt'), 'utf8')).toBe('mine');
  });

  it('is used if it is empty', async () => {
    const dataDir = temporaryDirectory();
    mkdirSync(join(dataDir, 'postgres'));
    await (await startEmbedded({ dataDir, ...quick })).stop();
    expect(readFileSync(join(dataDir, 'postgres', 'PG_VERSION'), 'utf8')).toBe('18\n');
  });

  it('is made again if its creation was interrupted, and the rest of that attempt is removed', async () => {
    const dataDir = temporaryDirectory();
    mkdirSync(join(dataDir, 'postgres.unfinished-0badcafe', 'base'), { recursive: true });
    await (await startEmbedded({ dataDir, ...quick })).stop();
    expect(existsSync(join(dataDir, 'postgres.unfinished-0badcafe'))).toBe(false);
  });

  it('is explained with the end of the log if PostgreSQL refuses to start', async () => {
    const dataDir = await preparedDataDir();
    await (await startEmbedded({ dataDir, ...quick })).stop();
    writeFileSync(join(dataDir, 'postgres', 'postgresql.auto.conf'), 'no_such_setting = 1\n');
    await expect(startEmbedded({ dataDir, ...quick })).rejects.toThrow(
      /PostgreSQL could not start[^]*postgres\.log[^]*unrecognized configuration parameter "no_such_setting"/,
    );
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
  });
});
