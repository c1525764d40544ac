import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import pg from 'pg';
import { type EmbeddedServer, startEmbedded } from '../../../src/platform/embedded/embedded-postgres.js';
import { findLeftover } from '../../../src/platform/embedded/postmaster.js';
import {
  busySession,
  cleanUp,
  killHard,
  preparedDataDir,
  processesOf,
  removePrepared,
  sql,
  startOwner,
  until,
} from './support.js';

afterEach(cleanUp);
afterAll(removePrepared);

const quick = { durable: false };

/** A server that is kept running, and what is said of it. */
interface Kept {
  dataDir: string;
  server: EmbeddedServer;
  said: string[];
  lost: string[];
}

async function keepRunning(
  dataDir: string,
  options: { signal?: AbortSignal; durable?: boolean } = {},
): Promise<Kept> {
  const said: string[] = [];
  const lost: string[] = [];
  const server = await startEmbedded({
    dataDir,
    ...quick,
    ...options,
    onProgress: (message) => said.push(message),
    onLost: ({ message }) => lost.push(message),
  });
  await sql(server.url, 'create table if not exists kept (row int)');
  return { dataDir, server, said, lost };
}

/** Kills the server itself, and leaves its sessions to themselves. */
async function killServer({ server, said }: Kept): Promise<void> {
  const { pid } = server;
  const before = said.length;
  process.kill(pid, 'SIGKILL');
  await until(() => said.length > before || server.pid !== pid);
}

/** Waits until the server has another process than this. */
async function untilBack({ server, said, lost }: Kept, than: number): Promise<void> {
  await until(() => server.pid !== than || lost.length > 0, 90_000);
  expect([lost, said.at(-1)]).toEqual([
    [],
    expect.stringMatching(/^PostgreSQL is running again \(pid \d+\)/),
  ]);
}

const serviceFile = (dataDir: string): Record<string, unknown> =>
  JSON.parse(readFileSync(join(dataDir, 'service.json'), 'utf8')) as Record<string, unknown>;

describe('a killed server', () => {
  it('is started again at its address, with all committed data, and says so', async () => {
    const kept = await keepRunning(await preparedDataDir(), { durable: true });
    const { server, dataDir, said } = kept;
    const { pid, url, port } = server;
    await sql(url, 'insert into kept values (1), (2)');
    await killServer(kept);
    await untilBack(kept, pid);
    expect(said).toEqual([
      `PostgreSQL (pid ${pid}) stopped unexpectedly (SIGKILL). Restarting it; see ${dataDir}/postgres.log`,
      `PostgreSQL is running again (pid ${server.pid}) on port ${port}.`,
    ]);
    expect(server.url).toBe(url);
    expect(await sql(url, 'select count(*)::int as rows from kept')).toEqual([{ rows: 2 }]);
    expect(serviceFile(dataDir)).toMatchObject({ url, port, pid: server.pid, ownerPid: process.pid });
    await server.stop();
    expect(processesOf(join(dataDir, 'postgres'))).toEqual([]);
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
  });

  it('is started again even if it was taken over and is nobody’s child', async () => {
    const dataDir = await preparedDataDir();
    const owner = startOwner(dataDir);
    const { pid, url } = await owner.hear();
    await killHard(owner.child);
    const kept = await keepRunning(dataDir);
    expect([kept.server.takenOver, kept.server.pid]).toEqual([true, pid]);
    await killServer(kept);
    await untilBack(kept, pid);
    expect(kept.said.slice(1)).toEqual([
      expect.stringMatching(
        `^PostgreSQL \\(pid ${pid}\\) stopped unexpectedly\\. Restarting it; see .*/postgres\\.log$`,
      ),
      expect.stringMatching(/^PostgreSQL is running again/),
    ]);
    expect(await sql(url, 'select 1 as one')).toEqual([{ one: 1 }]);
    await kept.server.stop();
    expect(processesOf(join(dataDir, 'postgres'))).toEqual([]);
  });

  it('does not wait long for a busy session', async () => {
    const kept = await keepRunning(await preparedDataDir());
    const { server } = kept;
    const { pid } = server;
    const busy = new pg.Client({ connectionString: server.url });
    busy.on('error', () => undefined);
    await busy.connect();
    const computing = busy
      .query('select sum(n) from (select generate_series(1, 100000000000) as n) counted')
      .catch((error: unknown) => error);
    await busySession(server.url);
    await killServer(kept);
    await until(() => server.pid !== pid, 90_000);
    expect(kept.lost).toEqual([]);
    expect(String(await computing)).toContain('Connection terminated');
    await busy.end().catch(() => undefined);
    await server.stop();
  }, 240_000);

  it('that is killed again during its start is started once more', async () => {
    const kept = await keepRunning(await preparedDataDir());
    const { server, dataDir } = kept;
    const first = server.pid;
    await killServer(kept);
    const cluster = join(dataDir, 'postgres');
    await until(() => (findLeftover(cluster)?.postmaster.pid ?? first) !== first);
    const second = findLeftover(cluster)?.postmaster.pid ?? 0;
    process.kill(second, 'SIGKILL');
    await until(() => ![first, second].includes(server.pid), 90_000);
    expect(kept.lost).toEqual([]);
    expect(await sql(server.url, 'select 1 as one')).toEqual([{ one: 1 }]);
    await server.stop();
  }, 240_000);

  it('stays down if the process is ending', async () => {
    const ending = new AbortController();
    const kept = await keepRunning(await preparedDataDir(), { signal: ending.signal });
    ending.abort();
    process.kill(kept.server.pid, 'SIGKILL');
    await until(() => findLeftover(join(kept.dataDir, 'postgres')) === null);
    await new Promise((done) => setTimeout(done, 1_500));
    expect([kept.said, kept.lost]).toEqual([[], []]);
    expect(processesOf(join(kept.dataDir, 'postgres'))).toEqual([]);
    await kept.server.stop();
  });

  it('stops after all if it is to stop during its restart', async () => {
    const kept = await keepRunning(await preparedDataDir());
    await killServer(kept);
    await kept.server.stop();
    expect(kept.lost).toEqual([]);
    expect(processesOf(join(kept.dataDir, 'postgres'))).toEqual([]);
    expect(existsSync(join(kept.dataDir, 'service.json'))).toBe(false);
    // Nothing is left behind that a start would have to wait for.
    await (await startEmbedded({ dataDir: kept.dataDir, ...quick })).stop();
  });
});

describe('a server that cannot be kept running', () => {
  it('is given up if it ends again and again', async () => {
    const kept = await keepRunning(await preparedDataDir());
    const { server, lost, dataDir } = kept;
    const killed = new Set<number>();
    await until(() => {
      const found = findLeftover(join(dataDir, 'postgres'));
      if (found?.status === 'ready' && server.pid === found.postmaster.pid) {
        if (!killed.has(server.pid)) process.kill(server.pid, 'SIGKILL');
        killed.add(server.pid);
      }
      return lost.length > 0;
    }, 240_000);
    expect(lost).toEqual([
      `PostgreSQL (pid ${server.pid}) stopped unexpectedly 6 times within a minute; giving up; see ${dataDir}/postgres.log`,
    ]);
    expect(killed.size).toBe(6);
    await server.stop();
  }, 240_000);

  it('is given up if it does not start, with the reason in one line', async () => {
    const kept = await keepRunning(await preparedDataDir());
    const { server, lost, dataDir } = kept;
    writeFileSync(join(dataDir, 'postgres', 'postgresql.auto.conf'), 'no_such_setting = 1\n');
    await killServer(kept);
    await until(() => lost.length > 0, 90_000);
    expect(lost).toEqual([
      expect.stringMatching(
        /^PostgreSQL \(pid \d+\) stopped unexpectedly and does not start again: .*postgresql\.auto\.conf.* contains errors; see .*postgres\.log$/,
      ),
    ]);
    await server.stop();
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
  }, 240_000);

  it('is given up if another program has taken its port, because others know it by that', async () => {
    const kept = await keepRunning(await preparedDataDir());
    const { server, lost } = kept;
    const { pid, port } = server;
    process.kill(pid, 'SIGKILL');
    const thief = createServer();
    await until(() => {
      if (!thief.listening) thief.on('error', () => undefined).listen(port, '127.0.0.1');
      return thief.listening || server.pid !== pid;
    });
    expect(thief.listening).toBe(true);
    await until(() => lost.length > 0, 90_000);
    expect(lost[0]).toMatch(/does not start again: could not create any TCP\/IP sockets; see/);
    thief.close();
    await server.stop();
  }, 240_000);
});
