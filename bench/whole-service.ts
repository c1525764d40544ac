import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { freePort } from '../src/platform/embedded/postmaster.js';

/** Path of a compiled program, wherever this file is run from. */
const program = (name: string): string => join(process.cwd(), 'dist/src', `${name}.js`);

/** The service as `npm start` runs it, with its own PostgreSQL in a separate process group. */
export interface WholeService {
  url: string;
  /** Starts or restarts the service; resolves when it is ready. */
  start(): Promise<void>;
  /** Kills the whole process group with `kill -9`. */
  kill(): Promise<void>;
  /** Creates a fleet and a manager's token. */
  newFleet(name: string): Promise<{ fleetId: string; token: string }>;
  remove(): Promise<void>;
}

/** Stops the PostgreSQL that a killed service left running, if the service was not restarted. */
async function stopLeftPostgres(dataDir: string): Promise<void> {
  const file = join(dataDir, 'postgres', 'postmaster.pid');
  const text = await readFile(file, 'utf8').catch(() => null);
  if (text === null) return;
  process.kill(Number(text.split('\n')[0]), 'SIGINT');
  while (existsSync(file)) await new Promise((resolve) => setTimeout(resolve, 20));
}

export async function wholeService(settings: Record<string, string>): Promise<WholeService> {
  const dataDir = await mkdtemp(join(tmpdir(), 'weephole-bench-whole-'));
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  const { PATH, HOME, TMPDIR } = process.env;
  const env = {
    ...{ PATH, HOME, TMPDIR, WEEPHOLE_DATA_DIR: dataDir, PORT: String(port), METRICS_ADDRESS: 'off' },
    ...{ LOG_LEVEL: 'error', REQUESTS_PER_MINUTE: '1000000', WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true' },
    ...settings,
  };
  let child: ChildProcess | null = null;
  const killAll = (): void => {
    if (child?.pid !== undefined && child.exitCode === null && child.signalCode === null)
      process.kill(-child.pid, 'SIGKILL');
  };
  process.once('exit', killAll);

  const isReady = async (): Promise<boolean> => {
    const answer = await fetch(`${url}/health/ready`).catch(() => null);
    return answer?.status === 200;
  };
  return {
    url,
    async start() {
      child = spawn(process.execPath, ['--max-old-space-size=1024', program('main')], {
        ...{ env, detached: true, stdio: ['ignore', 'ignore', 'inherit'] },
      });
      while (!(await isReady())) {
        if (child.exitCode !== null) throw new Error(`the service ended with ${child.exitCode}`);
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    },
    async kill() {
      const ended = child && once(child, 'exit');
      killAll();
      await ended;
    },
    async newFleet(name) {
      const { stdout } = await promisify(execFile)(
        process.execPath,
        [program('commands/create-fleet'), '--name', name, '--time-zone', 'Etc/GMT', '--units', 'us'],
        { env },
      );
      return JSON.parse(stdout.trim()) as { fleetId: string; token: string };
    },
    async remove() {
      if (child && child.exitCode === null && child.signalCode === null) {
        const ended = once(child, 'exit');
        child.kill('SIGTERM');
        await ended;
      }
      process.off('exit', killAll);
      await stopLeftPostgres(dataDir);
      await rm(dataDir, { recursive: true, force: true });
    },
  };
}
