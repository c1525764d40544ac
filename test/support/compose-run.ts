import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import pg from 'pg';
import { startEmbedded } from '../../src/platform/embedded/embedded-postgres.js';
import { type ComposeService, composeServices } from './compose.js';
import { type ServiceProcess, startProcess } from './processes.js';
import { until } from './receiver.js';
import { freePort } from './redis-server.mjs';

/**
 * The services of docker-compose.yml as processes on this machine, each with the environment it
 * gets there.
 */
export interface ComposeRun {
  /** URL of the database, with the login of its owner. */
  ownerUrl: string;
  start(name: 'api' | 'worker' | 'migrate', otherwise?: Record<string, string>): ServiceProcess;
  /** Runs a command as `docker compose run --rm migrate node dist/…` does. Returns its output. */
  command(program: string, args: string[]): Promise<string>;
  environmentOf(name: 'api' | 'worker' | 'migrate'): Record<string, string>;
  /** URL of the metrics, from the output of the process. */
  metricsUrl(name: 'api' | 'worker'): string;
  queuePid: number | null;
  remove(): Promise<void>;
}

/**
 * Starts a PostgreSQL set up like the image in docker-compose.yml: a superuser with the given name
 * and password, who owns the database.
 */
async function startPostgres(password: string): Promise<{ port: number; stop(): Promise<void> }> {
  const dataDir = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-compose-')));
  const server = await startEmbedded({ dataDir, durable: false });
  const admin = new pg.Client({ connectionString: server.url });
  await admin.connect();
  await admin.query(`create role weephole superuser login password '${password}'`);
  await admin.query('alter database weephole owner to weephole');
  await admin.end();
  return {
    port: server.port,
    async stop() {
      await server.stop();
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
}

/**
 * Runs the exact command of the queue, with the server installed on this machine, on loopback and
 * in a folder of its own.
 */
async function startQueue(
  service: ComposeService,
): Promise<{ port: number; pid: number; stop(): Promise<void> }> {
  const port = await freePort();
  const dir = mkdtempSync(join(tmpdir(), 'weephole-compose-queue-'));
  const [shell = '', ...args] = (service.command ?? []).map((part) =>
    part.replace('valkey-server', `redis-server --port ${port} --bind 127.0.0.1 --dir ${dir}`),
  );
  const { PATH } = process.env;
  const child = spawn(shell, args, {
    env: { PATH, ...service.environment },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let said = '';
  child.stdout.on('data', (chunk: Buffer) => (said += chunk.toString()));
  await until(
    () => said.includes('Ready to accept connections'),
    30_000,
    () => said,
  );
  return {
    port,
    pid: child.pid ?? 0,
    async stop() {
      const ended = once(child, 'exit');
      child.kill('SIGTERM');
      await ended;
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

/**
 * @param variables the content of .env
 * @param queue where the queue is kept: in a server as docker-compose.yml starts it, or in the main
 * database (`QUEUE_URL` like `DATABASE_URL`)
 */
export async function runCompose(
  variables: Record<string, string>,
  queue: 'postgres' | 'redis',
): Promise<ComposeRun> {
  const plain = composeServices(variables);
  const services =
    queue === 'redis'
      ? plain
      : composeServices({ ...variables, QUEUE_URL: plain.api.environment.DATABASE_URL ?? '' });
  const postgres = await startPostgres(services.postgres.environment.POSTGRES_PASSWORD ?? '');
  const redis = queue === 'redis' ? await startQueue(services.queue) : null;
  const attachments = mkdtempSync(join(tmpdir(), 'weephole-compose-files-'));
  const metrics = { api: await freePort(), worker: await freePort(), migrate: 0 };
  // Containers have names and addresses of their own; processes on one machine share both.
  const environmentOf = (name: 'api' | 'worker' | 'migrate'): Record<string, string> => ({
    ...Object.fromEntries(
      Object.entries(services[name].environment).map(([variable, value]) => [
        variable,
        value
          .replace('@postgres:5432', `@127.0.0.1:${postgres.port}`)
          .replace('@queue:6379', `@127.0.0.1:${redis?.port}`)
          .replace('0.0.0.0:9464', `127.0.0.1:${metrics[name]}`)
          .replace('0.0.0.0', '127.0.0.1')
          .replace('/var/lib/weephole/attachments', attachments),
      ]),
    ),
    PORT: '0',
  });
  const programOf = (name: 'api' | 'worker' | 'migrate'): string =>
    (services[name].command?.[1] ?? '').replace(/^dist\//, '');
  return {
    ownerUrl: environmentOf('migrate').DATABASE_URL ?? '',
    start: (name, otherwise = {}) => startProcess(programOf(name), { ...environmentOf(name), ...otherwise }),
    async command(program, args) {
      const { PATH, HOME, TMPDIR } = process.env;
      const { stdout } = await promisify(execFile)(process.execPath, [join('dist', program), ...args], {
        env: { PATH, HOME, TMPDIR, ...environmentOf('migrate') },
      });
      return stdout;
    },
    environmentOf,
    metricsUrl: (name) => `http://127.0.0.1:${metrics[name]}`,
    queuePid: redis?.pid ?? null,
    async remove() {
      await redis?.stop();
      await postgres.stop();
      rmSync(attachments, { recursive: true, force: true });
    },
  };
}
