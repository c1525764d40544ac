import 'reflect-metadata';
import type { INestApplication } from '@nestjs/common';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { randomBytes } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { buildApi } from '../../src/bootstrap.api.js';
import { issueToken } from '../../src/platform/access/token.js';
import type { Role } from '../../src/platform/scope/roles.js';
import { Config, readConfig } from '../../src/platform/config/config.js';
import { serviceUrls } from '../../src/platform/migration/logins.js';
import { OperatorListener } from '../../src/platform/health/operator-listener.js';
import { WorkRunner } from '../../src/platform/queue/work-runner.js';
import { clientOf, type Client } from './client.js';
import { TestClock } from './clock.js';
import { cloneDatabase, databaseApart, type TestDatabase } from './database.js';
import { addressForTests } from './shared-database.js';
import { type Borrowed, sharedService } from './shared-service.js';

/** The queue backend of this Jest project. */
declare const QUEUE: 'postgres' | 'redis' | undefined;

export { clientOf, type Answer, type Client } from './client.js';

export interface FleetHandle {
  fleetId: string;
  manager: Client;
  mechanic: Client;
  dashboard: Client;
}

/**
 * The running service: real HTTP, an empty database, a real queue, and a clock that the test sets.
 */
export interface Service {
  app: INestApplication;
  url: string;
  clock: TestClock;
  database: TestDatabase;
  config: Config;
  newFleet(options?: { timeZone?: string; units?: 'us' | 'si' }): Promise<FleetHandle>;
  client(token: string | null): Client;
  /** URL for operators only, which serves health and metrics. */
  operatorUrl(): string;
  operator(): Client;
  stop(): Promise<void>;
}

export interface ServiceOptions {
  at?: string;
  withWorker?: boolean;
  /**
   * Whether no other file may use this service before or after. For tests that would spoil it, for
   * instance by changing the schema, and for tests that inspect its past activity.
   */
  isAlone?: boolean;
  /** Whether it has a PostgreSQL of its own. */
  isApart?: boolean;
  env?: Record<string, string>;
}

const DEFAULT_AT = '2026-04-02T15:00:00Z';

function queueUrl(database: TestDatabase): string {
  if (typeof QUEUE === 'undefined' || QUEUE === 'postgres') return serviceUrls(database.url).app;
  const url = process.env.WEEPHOLE_TEST_REDIS;
  if (!url) throw new Error('there is no Redis for this run');
  return url;
}

/**
 * Inserts a fleet into the tables, with a client for each role that talks to the service at `url`.
 */
export async function insertFleet(
  admin: pg.Client,
  url: string,
  { timeZone = 'America/Denver', units = 'us' }: { timeZone?: string; units?: 'us' | 'si' } = {},
): Promise<FleetHandle> {
  const fleetId = uuidv7();
  const name = `Fleet ${fleetId.slice(-6)}`;
  await admin.query('insert into fleets (id, name, time_zone, units) values ($1, $2, $3, $4)', [
    fleetId,
    name,
    timeZone,
    units,
  ]);
  const clientFor = async (role: Role): Promise<Client> => {
    const { token, hash } = issueToken();
    await admin.query(
      'insert into access_tokens (fleet_id, id, name, role, hash) values ($1, $2, $3, $4, $5)',
      [fleetId, uuidv7(), role, role, hash],
    );
    return clientOf(url, token);
  };
  return {
    fleetId,
    manager: await clientFor('manager'),
    mechanic: await clientFor('mechanic'),
    dashboard: await clientFor('dashboard'),
  };
}

/**
 * Starts a service, or hands out the one shared by the files of a Jest worker, with an empty
 * database and its clock set as requested. A file that needs a worker or settings gets a service of
 * its own.
 */
export async function startService(options: ServiceOptions = {}): Promise<Service> {
  const { at = DEFAULT_AT, withWorker, isAlone, isApart, env } = options;
  const isOwn =
    withWorker || isAlone || isApart || env || (typeof QUEUE !== 'undefined' && QUEUE !== 'postgres');
  const borrowed = isOwn ? null : await sharedService.borrow(() => startOwn({}));
  if (borrowed === null) return startOwn(options);
  borrowed.service.clock.moveTo(at);
  return asOneFileSees(borrowed);
}

function asOneFileSees(borrowed: Borrowed): Service {
  const { service, admin } = borrowed;
  const { config, database } = service;
  const drop = (): Promise<void> => Promise.reject(new Error('other test files use this database'));
  return {
    ...service,
    config: Object.assign(new Config(), config, {
      databaseUrl: addressForTests(config.databaseUrl),
      sweepDatabaseUrl: addressForTests(config.sweepDatabaseUrl),
      queue: { ...config.queue, url: addressForTests(config.queue.url) },
    }),
    database: { url: addressForTests(database.url), admin, drop },
    newFleet: (fleet) => insertFleet(admin, service.url, fleet),
    stop: () => borrowed.giveBack(),
  };
}

async function startOwn(options: ServiceOptions): Promise<Service> {
  const database = await (options.isApart ? databaseApart() : cloneDatabase());
  // As when the service owns the server: with logins that may do no more than it needs.
  const urls = serviceUrls(database.url);
  const clock = new TestClock(new Date(options.at ?? DEFAULT_AT));
  const attachmentsDir = join(tmpdir(), `weephole-test-${randomBytes(6).toString('hex')}`);
  const config = readConfig(
    {
      LOG_LEVEL: process.env.TEST_LOG_LEVEL ?? 'fatal',
      QUEUE_URL: queueUrl(database),
      QUEUE_PREFIX: `test-${randomBytes(6).toString('hex')}`,
      WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true',
      PORT: '0',
      METRICS_ADDRESS: '127.0.0.1:0',
      ATTACHMENTS_DIR: attachmentsDir,
      // Tests send more requests than people do. Tests of the limits set their own.
      REQUESTS_PER_MINUTE: '0',
      REFUSALS_PER_MINUTE: '0',
      UNKNOWN_TOKENS_PER_MINUTE: '0',
      LABEL_REQUESTS_PER_MINUTE: '0',
      LABEL_REPORTS_PER_MINUTE: '0',
      ...options.env,
    },
    urls.app,
    urls.sweep,
  );
  const app: NestFastifyApplication = await buildApi(config, {
    withWorker: options.withWorker ?? false,
    clock,
  });
  await app.listen(config.port, '127.0.0.1');
  if (options.withWorker) await app.get(WorkRunner).untilReady();
  const url = await app.getUrl();
  const client = (token: string | null): Client => clientOf(url, token);
  const operatorUrl = (): string => `http://127.0.0.1:${app.get(OperatorListener).listensOn?.port}`;

  return {
    app,
    url,
    clock,
    database,
    config,
    client,
    operatorUrl,
    operator: () => clientOf(operatorUrl(), null),
    newFleet: (fleet) => insertFleet(database.admin, url, fleet),
    async stop() {
      await app.close();
      await rm(attachmentsDir, { recursive: true, force: true });
      await database.drop();
    },
  };
}
