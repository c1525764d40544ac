import 'reflect-metadata';
import { getDataSourceToken } from '@nestjs/typeorm';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { parseArgs } from 'node:util';
import type { DataSource } from 'typeorm';
import { buildApi } from '../src/bootstrap.api.js';
import { message } from '../src/commands/messages.js';
import { civilDateAt, MS_PER_DAY } from '../src/domain/calendar/zone.js';
import { createFleet } from '../src/register/fleets/create-fleet.js';
import { workForFleet } from '../src/register/fleets/fleet-work.js';
import { hashToken } from '../src/platform/access/token.js';
import { Config, ConfigError, readConfig } from '../src/platform/config/config.js';
import { ensureLogins } from '../src/platform/migration/logins.js';
import { migrate } from '../src/platform/migration/migrate.js';
import { WorkRunner } from '../src/platform/queue/work-runner.js';
import { schema } from '../src/schema.js';
import { configFor, type Lifetime, openDatabase, run, say } from '../src/startup.js';
import { TokensService } from '../src/keeping/tokens/tokens.service.js';
import { apiOf } from './api.js';
import { type DemoFile, readDemoFile, type Tokens, writeDemoFile } from './demo-file.js';
import { driverLabel } from './driver-label.js';
import { alone, findDemoFleets, LOADING_NAME, removeFleet } from './demo-fleet.js';
import { DISTRICT } from './district.js';
import { fridayStory } from './friday.js';
import { loadDistrict, markLoaded } from './load.js';
import { choosePort, urlOf } from './port.js';
import { progressOn, type ShownLine, welcome } from './screen.js';
import { startOver } from './start-over.js';
import { addSource, moveSource, openYard, type Yard } from './telematics/yard.js';

/** Starts everything in one process on a database of its own, with an invented fleet to look at. */
run(async (lifetime) => {
  const isFresh = readArguments();
  // Log less than a real deployment, because the screen has what there is to see.
  const env: NodeJS.ProcessEnv = {
    ...process.env,
    LOG_LEVEL: process.env.LOG_LEVEL || 'warn',
    // Two years of records are posted in a minute.
    REQUESTS_PER_MINUTE: process.env.REQUESTS_PER_MINUTE || '60000',
  };
  // Machines report to a server on this machine, which a fleet may otherwise not ask. While only
  // this machine can reach the demonstration, that opens nothing to others.
  if (isLocal(env.HOST)) env.WEEPHOLE_ALLOW_LOCAL_WEBHOOKS ||= 'true';
  const { host, port: wanted, dataDir } = readConfig(env, env.DATABASE_URL || 'postgres://embedded');
  const port = await choosePort(host, wanted, Boolean(env.PORT), say);
  if (isFresh && !env.DATABASE_URL) await startOver(dataDir);
  say(`Starting in ${dataDir}`);
  const database = await lifetime.opening(
    openDatabase(env, { onProgress: say, lifetime }),
    async ({ server }) => server?.stop(),
  );
  await lifetime.opening(migrate(database.url, schema), nothing);
  if (database.server) await lifetime.opening(ensureLogins(database.url), nothing);
  const config = Object.assign(new Config(), configFor(env, database), { port });
  const yard = await openYard(lifetime).catch(machinesSilent);
  const app = await lifetime.opening(buildApi(config, { withWorker: true }), (built) => built.close());
  const door = await openSideDoor(app, lifetime);

  const fleet = await findOrLoad({ databaseUrl: database.url, app, dataDir, door, yard, isFresh });
  await lifetime.opening(app.listen(port, host), nothing);
  const url = urlOf(host, (app.getHttpServer().address() as AddressInfo).port);
  writeDemoFile(dataDir, { url, ...fleet });

  const reader = apiOf(door.url, fleet.tokens.dashboard, door.signal);
  const { items } = await reader.get<{ items: ShownLine[] }>('/v1/due-list?limit=10');
  const now = new Date();
  const story = await fridayStory(reader, now);
  const label = await driverLabel(apiOf(door.url, fleet.tokens.mechanic, door.signal));
  process.stdout.write(welcome(url, fleet.tokens, { lines: items, story, label }, dataDir, now));
});

async function nothing(): Promise<void> {}

function isLocal(host: string | undefined): boolean {
  return !host || ['127.0.0.1', '::1', 'localhost'].includes(host);
}

/** Everything else is there to look at without the machines that report by themselves. */
function machinesSilent(error: unknown): null {
  say(`The machines do not report by themselves: ${(error as Error).message}`);
  return null;
}

function readArguments(): boolean {
  try {
    return parseArgs({ options: { fresh: { type: 'boolean', default: false } } }).values.fresh;
  } catch (error) {
    throw new ConfigError(
      message('command-not-understood', {
        why: (error as Error).message,
        usage: 'npm run demo -- [--fresh]',
      }),
    );
  }
}

interface SideDoor {
  url: string;
  /** Aborted when the process is asked to end. From then on nothing more may be posted. */
  signal: AbortSignal;
}

/**
 * Serves the same API over real HTTP at a second address that is not published. The fleet is loaded
 * through it, so by the time the public address is open, the fleet is complete.
 */
async function openSideDoor(app: NestFastifyApplication, lifetime: Lifetime): Promise<SideDoor> {
  await app.init();
  const fastify = app.getHttpAdapter().getInstance();
  await fastify.ready();
  const server = createServer((request, reply) => fastify.routing(request, reply));
  // Client and server share one processor. If that is busy for longer than keep-alive lasts, the
  // server may close a connection that the client is about to use.
  server.keepAliveTimeout = 0;
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
  const stopping = new AbortController();
  lifetime.closing(async () => {
    stopping.abort();
    const idle = setInterval(() => server.closeIdleConnections(), 20);
    await new Promise((resolve) => server.close(resolve));
    clearInterval(idle);
  });
  return { url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, signal: stopping.signal };
}

interface Surroundings {
  databaseUrl: string;
  app: NestFastifyApplication;
  dataDir: string;
  door: SideDoor;
  /** The server of the machines that report by themselves; null if there is none. */
  yard: Yard | null;
  isFresh: boolean;
}

type Fleet = Pick<DemoFile, 'fleetId' | 'tokens'>;

/**
 * Finds the demonstration fleet of an earlier start if it is complete; otherwise loads a new one.
 */
async function findOrLoad(surroundings: Surroundings): Promise<Fleet> {
  const { databaseUrl, app, dataDir, door, yard, isFresh } = surroundings;
  const goOn = await alone(databaseUrl);
  try {
    const file = readDemoFile(dataDir);
    const fleets = await findDemoFleets(databaseUrl, file?.fleetId ?? null);
    for (const { id, isWhole } of fleets) {
      if (isWhole && !isFresh) continue;
      if (!isWhole)
        say('The demonstration fleet was not loaded to its end last time; starting over with it.');
      await app.get(WorkRunner).pausedFor(() => removeFleet(databaseUrl, id));
    }
    const whole = isFresh ? [] : fleets.filter(({ isWhole }) => isWhole);
    const found = whole.find(({ id }) => id === file?.fleetId) ?? whole[0];
    // Nobody needs reminders about the past, and looking for news after each of several hundred
    // reports would take a fifth of the load time.
    if (!found) return await app.get(WorkRunner).pausedFor(() => load(surroundings));
    sayAge(found.createdAt);
    const tokens = file?.fleetId === found.id ? file.tokens : null;
    const fleet = { fleetId: found.id, tokens: await validTokens(app, found.id, tokens) };
    if (yard)
      await moveSource(apiOf(door.url, fleet.tokens.manager, door.signal), yard).catch(machinesSilent);
    return fleet;
  } finally {
    await goOn();
  }
}

async function load({ databaseUrl, yard, door: { url, signal } }: Surroundings): Promise<Fleet> {
  say('Loading the demonstration fleet: an invented district, and two years of its records');
  const { timeZone, units } = DISTRICT;
  const { fleetId, token } = await createFleet(databaseUrl, { name: LOADING_NAME, timeZone, units });
  const manager = apiOf(url, token, signal);
  const issue = async (role: string) =>
    (await manager.post<{ token: string }>('/v1/tokens', { name: `demonstration ${role}`, role })).token;
  const tokens = {
    manager: token,
    mechanic: await issue('mechanic'),
    driver: await issue('driver'),
    dashboard: await issue('dashboard'),
  };
  const today = civilDateAt(Date.now(), timeZone);
  const as = (role: keyof Tokens) => apiOf(url, tokens[role], signal);
  await loadDistrict(manager, as('mechanic'), as('driver'), today, progressOn(process.stderr));
  if (yard) await addSource(manager, yard, Date.now()).catch(machinesSilent);
  await markLoaded(manager);
  return { fleetId, tokens };
}

/** Says how old the fleet is: its data ends on the day it was created. */
function sayAge(createdAt: Date): void {
  const days = Math.floor((Date.now() - createdAt.getTime()) / MS_PER_DAY);
  if (days >= 3)
    say(`The demonstration fleet was loaded ${days} days ago; --fresh makes it anew as of today.`);
}

/** Returns the tokens of the last start if they still work, and new ones for the others. */
async function validTokens(
  app: NestFastifyApplication,
  fleetId: string,
  known: Tokens | null,
): Promise<Tokens> {
  const dataSource = app.get<DataSource>(getDataSourceToken());
  const valid = async (role: keyof Tokens): Promise<string> => {
    const token = known?.[role] ?? '';
    const [holder] = await dataSource.query<{ fleet_id: string; role: string }[]>(
      'select fleet_id, role from token_holder($1, now())',
      [hashToken(token)],
    );
    if (holder?.fleet_id === fleetId && holder.role === role) return token;
    const issued = await workForFleet(dataSource, fleetId, () =>
      app.get(TokensService, { strict: false }).issue({ name: `demonstration ${role}`, role }),
    );
    if (!issued?.token) throw new Error(`no ${role} token could be issued`);
    return issued.token;
  };
  return {
    manager: await valid('manager'),
    mechanic: await valid('mechanic'),
    driver: await valid('driver'),
    dashboard: await valid('dashboard'),
  };
}
