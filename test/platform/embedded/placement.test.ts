import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  chownSync,
  cpSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  statSync,
} from 'node:fs';
import { join } from 'node:path';
import { isRoot, postgresAccount } from '../../../src/platform/embedded/account.js';
import { installedPostgres, usableBinaries } from '../../../src/platform/embedded/binaries.js';
import { startEmbedded } from '../../../src/platform/embedded/embedded-postgres.js';
import { factsFromPs, processFacts } from '../../../src/platform/embedded/processes.js';
import { cleanUp, clusterHome, preparedDataDir, removePrepared, sql, temporaryDirectory } from './support.js';

afterEach(cleanUp);
afterAll(removePrepared);

const quick = { durable: false };

/** A data directory in a directory only its owner can enter, as a home directory is. */
function privateDataDir(): { parent: string; dataDir: string } {
  const parent = temporaryDirectory();
  const dataDir = join(parent, '.data');
  mkdirSync(dataDir);
  chmodSync(parent, 0o700);
  return { parent, dataDir };
}

describe('the cluster', () => {
  it('is in the data directory if PostgreSQL’s user can get there', async () => {
    // mkdtemp's, hence root's own and closed to others: to be passed through, it is opened, but not
    // to be read.
    const dataDir = temporaryDirectory();
    const server = await startEmbedded({ dataDir, ...quick });
    expect(statSync(dataDir).mode & 0o777).toBe(isRoot() ? 0o711 : 0o700);
    expect(existsSync(join(dataDir, 'postgres', 'PG_VERSION'))).toBe(true);
    expect(existsSync(join(dataDir, 'postgres.location'))).toBe(false);
    expect(statSync(`/proc/${server.pid}`).uid).not.toBe(0);
    await server.stop();
  });

  it('works below a directory that only the service’s user can enter, is found again, and is not shared', async () => {
    const { dataDir } = privateDataDir();
    const first = await startEmbedded({ dataDir, ...quick });
    await sql(first.url, 'create table kept as select 7 as row');
    await first.stop();
    // Root's PostgreSQL is another user, who cannot get in; an ordinary user's is that same user.
    expect(existsSync(join(dataDir, 'postgres.location'))).toBe(isRoot());
    if (isRoot()) expect(clusterHome(dataDir)).toMatch(/^\/var\/lib\/weephole-[0-9a-f]{12}$/);

    const second = await startEmbedded({ dataDir, ...quick });
    expect(await sql(second.url, 'select row from kept')).toEqual([{ row: 7 }]);
    await second.stop();

    const other = privateDataDir();
    const unrelated = await startEmbedded({ dataDir: other.dataDir, ...quick });
    expect(await sql(unrelated.url, "select to_regclass('kept') as kept")).toEqual([{ kept: null }]);
    await unrelated.stop();
    rmSync(clusterHome(other.dataDir), { recursive: true });
    rmSync(clusterHome(dataDir), { recursive: true });
  });

  it('starts empty after its data directory was deleted, and keeps the outside part under another name', async () => {
    const { parent, dataDir } = privateDataDir();
    const first = await startEmbedded({ dataDir, ...quick });
    await sql(first.url, 'create table kept as select 7 as row');
    await first.stop();
    const home = clusterHome(dataDir);
    rmSync(dataDir, { recursive: true });
    expect(existsSync(parent)).toBe(true);

    const said: string[] = [];
    const second = await startEmbedded({ dataDir, ...quick, onProgress: (message) => said.push(message) });
    expect(await sql(second.url, "select to_regclass('kept') as kept")).toEqual([{ kept: null }]);
    await second.stop();
    const keptAside = isRoot() ? readdirSync(home).filter((name) => /^postgres\.\d{4}-/.test(name)) : [];
    expect(keptAside).toHaveLength(isRoot() ? 1 : 0);
    expect(said.some((message) => message.includes('was kept as'))).toBe(isRoot());
    rmSync(home, { recursive: true, force: true });
  });

  it('moves to a reachable place if its data directory has become private', async () => {
    const parent = temporaryDirectory();
    chmodSync(parent, 0o755);
    const dataDir = join(parent, '.data');
    const first = await startEmbedded({ dataDir, ...quick });
    await sql(first.url, 'create table kept as select 7 as row');
    await first.stop();
    chmodSync(parent, 0o700);

    const second = await startEmbedded({ dataDir, ...quick });
    expect(await sql(second.url, 'select row from kept')).toEqual([{ row: 7 }]);
    await second.stop();
    expect(existsSync(join(dataDir, 'postgres.location'))).toBe(isRoot());
    rmSync(clusterHome(dataDir), { recursive: true });
  });

  it('starts after a copy that changed its owner and mode', async () => {
    const from = await preparedDataDir();
    const to = temporaryDirectory();
    const first = await startEmbedded({ dataDir: from, ...quick });
    await sql(first.url, 'create table kept as select 7 as row');
    await first.stop();
    execFileSync('cp', ['-r', join(from, 'postgres'), join(to, 'postgres')]);
    chmodSync(join(to, 'postgres'), 0o755);

    const second = await startEmbedded({ dataDir: to, ...quick });
    expect(await sql(second.url, 'select row from kept')).toEqual([{ row: 7 }]);
    await second.stop();
  });

  it('made by an ordinary user stays that user’s when root starts it', async () => {
    const dataDir = await preparedDataDir();
    const first = await startEmbedded({ dataDir, ...quick });
    const owner = statSync(join(dataDir, 'postgres'));
    await first.stop();
    if (isRoot()) {
      execFileSync('chown', ['-R', '65534:65534', dataDir]);
      const second = await startEmbedded({ dataDir, ...quick });
      expect(statSync(`/proc/${second.pid}`).uid).toBe(65534);
      expect(statSync(join(dataDir, 'service.json')).uid).toBe(65534);
      await second.stop();
    }
    expect(statSync(join(dataDir, 'postgres')).uid).toBe(isRoot() ? 65534 : owner.uid);
  });
});

describe('the programs', () => {
  /** The installed programs as `npm ci --ignore-scripts` leaves them: without links. */
  function withoutLinks(): { native: string; version: string } {
    const { native, version } = installedPostgres();
    const bare = join(temporaryDirectory(), 'native');
    cpSync(native, bare, { recursive: true, verbatimSymlinks: true });
    for (const name of readdirSync(join(bare, 'lib'))) {
      if (lstatSync(join(bare, 'lib', name)).isSymbolicLink()) rmSync(join(bare, 'lib', name));
    }
    return { native: bare, version };
  }

  const versionOf = (program: string) =>
    execFileSync(program, ['--version'], { encoding: 'utf8', stdio: 'pipe' });

  it('are completed if the package’s install script did not run', () => {
    const installed = withoutLinks();
    const home = temporaryDirectory();
    expect(existsSync(join(installed.native, 'lib', 'libpq.so.5'))).toBe(false);
    chmodSync(join(installed.native, 'bin', 'initdb'), 0o644);
    chmodSync(join(installed.native, '..'), 0o755);

    const binaries = usableBinaries(home, undefined, installed);
    expect(readlinkSync(join(installed.native, 'lib', 'libpq.so.5'))).toBe('libpq.so.5.18');
    expect(readdirSync(home)).toEqual([]);
    expect(binaries.major).toBe(18);
    expect(versionOf(binaries.initdb)).toMatch(/^initdb \(PostgreSQL\) 18/);
    expect(versionOf(binaries.postgres)).toMatch(/^postgres \(PostgreSQL\) 18/);
  });

  it('are copied to a reachable place if PostgreSQL’s user cannot reach the installed ones', () => {
    const installed = withoutLinks();
    const home = temporaryDirectory();
    // Root asks as another user; an ordinary user runs them as itself and needs no copy.
    const account = isRoot() ? postgresAccount() : undefined;
    const binaries = usableBinaries(home, account, installed);
    const root = isRoot() ? join(home, `binaries-${installed.version}`) : installed.native;
    expect(binaries.postgres).toBe(join(root, 'bin', 'postgres'));
    expect(versionOf(binaries.initdb)).toMatch(/^initdb \(PostgreSQL\) 18/);
    expect(existsSync(join(root, 'lib', 'libpq.so.5'))).toBe(true);
    expect(readFileSync(join(root, 'share', 'postgresql', 'postgres.bki')).length).toBeGreaterThan(1000);
    if (isRoot()) chownSync(home, account!.uid, account!.gid);
    expect(usableBinaries(home, account, installed)).toEqual(binaries);
  });
});

describe('facts about a process', () => {
  it('are the same from ps, for systems without /proc', () => {
    const facts = factsFromPs(process.pid)!;
    expect(facts.commandLine?.trim()).toBe(processFacts(process.pid)!.commandLine?.trim());
    expect(facts.startToken).toMatch(/^\w{3} \w{3} \d+ \d\d:\d\d:\d\d \d{4}$/);
    expect(factsFromPs(2 ** 22 + 1)).toBeNull();
    expect(processFacts(2 ** 22 + 1)).toBeNull();
  });
});
