import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { startEmbedded } from '../../../src/platform/embedded/embedded-postgres.js';
import { processFacts, signalReaches } from '../../../src/platform/embedded/processes.js';
import {
  cleanUp,
  killHard,
  processesOf,
  busySession,
  sql,
  startOwner,
  preparedDataDir,
  removePrepared,
  until,
  untilStopped,
  type OwnerProcess,
  type Said,
} from './support.js';

afterEach(cleanUp);
afterAll(removePrepared);

const quick = { durable: false };

const WAITING = 'Waiting for an earlier PostgreSQL on this data directory to end.';

/** A process that owns a server with one committed table, `kept`, of three rows. */
async function ownerWithRows(
  dataDir: string,
  options: object = {},
): Promise<{ owner: OwnerProcess; said: Said }> {
  const owner = startOwner(dataDir, options);
  const said = await owner.hear();
  await sql(said.url, 'create table kept as select generate_series(1, 3) as row');
  return { owner, said };
}

async function rowsKept(url: string): Promise<unknown[]> {
  return await sql(url, 'select count(*)::int as rows from kept');
}

describe('after kill -9 of the service', () => {
  it('a server left running is taken over with its rows, and stopped by its new owner', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir);
    await killHard(owner.child);
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(true);

    const server = await startEmbedded({ dataDir, ...quick });
    expect(server).toMatchObject({ takenOver: true, pid: said.pid, port: said.port });
    expect(await rowsKept(server.url)).toEqual([{ rows: 3 }]);
    await server.stop();
    expect(processesOf(join(dataDir, 'postgres'))).toEqual([]);
  });

  it('a server left running is restarted if its settings differ', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir);
    await killHard(owner.child);

    const server = await startEmbedded({ dataDir, durable: true });
    expect(server.takenOver).toBe(false);
    expect(server.pid).not.toBe(said.pid);
    expect(await rowsKept(server.url)).toEqual([{ rows: 3 }]);
    expect(await sql(server.url, 'show fsync')).toEqual([{ fsync: 'on' }]);
    await server.stop();
  });

  it('and of the server, committed data are recovered', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir, { durable: true });
    await killHard(owner.child);
    process.kill(said.pid, 'SIGKILL');

    const server = await startEmbedded({ dataDir });
    expect(server.takenOver).toBe(false);
    expect(await rowsKept(server.url)).toEqual([{ rows: 3 }]);
    await server.stop();
  });

  it('and of the server during a busy session, the start waits until that has ended', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir, { durable: true });
    const busy = new pg.Client({ connectionString: said.url });
    busy.on('error', () => undefined);
    await busy.connect();
    // It computes for minutes without looking up, so it outlives the server until the test ends it.
    const computing = busy
      .query('select sum(n) from (select generate_series(1, 10000000000) as n) counted')
      .catch(() => undefined);
    const session = await busySession(said.url);
    await killHard(owner.child);
    process.kill(said.pid, 'SIGKILL');

    const told: string[] = [];
    const onProgress = (message: string): void => {
      told.push(message);
      if (message === WAITING) process.kill(session, 'SIGTERM');
    };
    const server = await startEmbedded({ dataDir, onProgress });
    expect(told.filter((message) => message === WAITING)).toHaveLength(1);
    expect(readFileSync(join(dataDir, 'postgres.log'), 'utf8')).toContain('pre-existing shared memory block');
    expect(await rowsKept(server.url)).toEqual([{ rows: 3 }]);
    await computing;
    await busy.end().catch(() => undefined);
    await server.stop();
  });
});

describe('an old postmaster.pid', () => {
  /** A cluster that is stopped, but whose pid file names this pid. */
  async function clusterNaming(pid: number): Promise<string> {
    const dataDir = await preparedDataDir();
    const server = await startEmbedded({ dataDir, ...quick });
    const pidFile = readFileSync(join(dataDir, 'postgres', 'postmaster.pid'), 'utf8');
    await server.stop();
    writeFileSync(join(dataDir, 'postgres', 'postmaster.pid'), pidFile.replace(/^\d+/, String(pid)));
    return dataDir;
  }

  it('with the pid of an unrelated process is removed, and that process is left alone', async () => {
    const { uid, gid } = statSync(join(await preparedDataDir(), 'postgres'));
    // PostgreSQL minds only pids of its own user.
    const bystander = spawn('sleep', ['60'], { uid, gid, stdio: 'ignore' });
    const dataDir = await clusterNaming(bystander.pid!);

    const server = await startEmbedded({ dataDir, ...quick });
    expect(server.takenOver).toBe(false);
    await server.stop();
    expect(processFacts(bystander.pid!)).not.toBeNull();
    const ended = once(bystander, 'exit');
    bystander.kill();
    await ended;
  });

  it('with the pid of a killed server that nobody has reaped does not stop the start', async () => {
    const { uid, gid } = statSync(join(await preparedDataDir(), 'postgres'));
    // The shell starts a child and turns into a program that never waits for it.
    const parent = spawn('sh', ['-c', 'sleep 0.1 & echo $!; exec sleep 60'], {
      uid,
      gid,
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    const [line] = (await once(parent.stdout, 'data')) as [Buffer];
    const zombie = Number.parseInt(String(line), 10);
    await until(() => processFacts(zombie) === null);
    expect(signalReaches(zombie)).toBe('yes');
    const dataDir = await clusterNaming(zombie);

    const told: string[] = [];
    const server = await startEmbedded({ dataDir, ...quick, onProgress: (message) => told.push(message) });
    expect(told).not.toContain(WAITING);
    await server.stop();
    const ended = once(parent, 'exit');
    parent.kill();
    await ended;
  });
});

describe('an old owner.lock', () => {
  it('with our own pid, as in a container at every start, is recognised as another process’s', async () => {
    const dataDir = await preparedDataDir();
    const old = { pid: process.pid, startToken: 'another boot:1', since: '2026-01-01T00:00:00Z' };
    writeFileSync(join(dataDir, 'owner.lock'), JSON.stringify(old));
    await (await startEmbedded({ dataDir, ...quick })).stop();
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
  });

  it('cut short by a power failure is replaced', async () => {
    const dataDir = await preparedDataDir();
    writeFileSync(join(dataDir, 'owner.lock'), '');
    await (await startEmbedded({ dataDir, ...quick })).stop();
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
  });
});

describe('Ctrl-C', () => {
  it('at the terminal reaches the service but not the server, which runs until the service stops it', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir, { handleSignals: 'itself' });
    // The terminal signals the whole process group.
    process.kill(-owner.child.pid!, 'SIGINT');
    expect(await owner.hear()).toEqual({ answeredAfterSignal: 3 });
    expect(processFacts(said.pid)).toBeNull();
    expect(existsSync(join(dataDir, 'owner.lock'))).toBe(false);
  });

  it('in a script that leaves signals to us stops the server, and the script ends by the signal', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir, { handleSignals: 'for us' });
    const ended = once(owner.child, 'exit');
    process.kill(-owner.child.pid!, 'SIGINT');
    expect(await ended).toEqual([null, 'SIGINT']);
    expect(processFacts(said.pid)).toBeNull();
    expect(existsSync(join(dataDir, 'service.json'))).toBe(false);
  });
});

describe('a service that exits without stopping its server', () => {
  it('still has it stopped', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir);
    const ended = once(owner.child, 'exit');
    owner.child.stdin!.write('exit\n');
    expect(await ended).toEqual([0, null]);
    await untilStopped(join(dataDir, 'postgres'));
    await until(() => processFacts(said.pid) === null);
    expect(existsSync(join(dataDir, 'service.json'))).toBe(false);
  });

  it('can be started again at once: the start waits for the shutdown', async () => {
    const dataDir = await preparedDataDir();
    const { owner, said } = await ownerWithRows(dataDir);
    const ended = once(owner.child, 'exit');
    owner.child.stdin!.write('exit\n');
    await ended;
    const server = await startEmbedded({ dataDir, ...quick });
    expect(server.pid).not.toBe(said.pid);
    expect(await rowsKept(server.url)).toEqual([{ rows: 3 }]);
    await server.stop();
  });
});
