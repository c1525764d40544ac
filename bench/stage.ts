import type pg from 'pg';
import {
  addFleets,
  addLines,
  addVehicles,
  type BenchFleet,
  copyPlanAndSheet,
  TIME_ZONE,
} from './build-fleets.js';
import { type Child, startChild } from './child.js';
import { type BenchServer, connect } from './database.js';
import type { Options } from './options.js';
import { buildPeer } from './peer/schema.js';
import { call } from './post.js';
import { INTERVAL_PLAN, SPEC_SHEET } from './scenario.js';

export interface Service {
  process: Child;
  url: string;
}

/** A database full of fleets, with the service running on it. */
export interface Ground {
  databaseUrl: string;
  /** Connection that sees everything, for filling and inspecting the database. */
  admin: pg.Client;
  fleets: BenchFleet[];
  service: Service;
  close(): Promise<void>;
}

/** What the benchmarks run on. */
export interface Stage {
  options: Options;
  server: BenchServer;
  /** The fleets requested, and the peer's copy of them. */
  main: Ground;
  peer: Service;
  say: (what: string) => void;
}

export async function startService(databaseUrl: string, env: Record<string, string> = {}): Promise<Service> {
  const process = startChild('service', { BENCH_DATABASE_URL: databaseUrl, ...env });
  return { process, url: await process.ask<string>('url') };
}

export async function startPeer(databaseUrl: string): Promise<Service> {
  const process = startChild('peer', { BENCH_DATABASE_URL: databaseUrl });
  return { process, url: await process.ask<string>('url') };
}

/**
 * Creates a migrated database of fleets with depots, a plan, a sheet and vehicles, but no due lines
 * or other conclusions yet.
 */
export async function newGround(
  server: BenchServer,
  name: string,
  fleetCount: number,
  vehicles: number,
): Promise<Ground> {
  const databaseUrl = await server.newDatabase(name);
  // Use the fleets' time zone: around midnight, the server's date would differ from theirs.
  const admin = await connect(databaseUrl, { options: `-c timezone=${TIME_ZONE}` });
  const service = await startService(databaseUrl);
  const fleets = await addFleets(admin, fleetCount);
  const [first, ...others] = fleets;
  if (first === undefined) throw new Error('there is no fleet');
  await call(service.url, first.tokens.manager, '/v1/spec-sheets', SPEC_SHEET);
  await call(service.url, first.tokens.manager, '/v1/interval-plans', INTERVAL_PLAN);
  await copyPlanAndSheet(admin, first, others);
  await addVehicles(admin, fleets, vehicles);
  return {
    databaseUrl,
    admin,
    fleets,
    service,
    async close() {
      await service.process.stop();
      await admin.end();
    },
  };
}

export async function setStage(
  server: BenchServer,
  options: Options,
  say: (what: string) => void,
): Promise<Stage> {
  const began = performance.now();
  const main = await newGround(server, 'main', options.fleets, options.vehicles);
  await addLines(main.admin, main.fleets);
  const built = performance.now();
  await buildPeer(main.admin);
  const { rows } = await main.admin.query<{ size: string }>(
    'select pg_size_pretty(pg_database_size(current_database())) as size',
  );
  const seconds = (from: number, to: number) => ((to - from) / 1000).toFixed(1);
  say(
    `${options.vehicles.toLocaleString('en')} vehicles of ${options.fleets} fleets with ${(3 * options.vehicles).toLocaleString('en')} due lines built in ${seconds(began, built)} s, the peer's copy in ${seconds(built, performance.now())} s; ${rows[0]?.size} together`,
  );
  const peer = await startPeer(main.databaseUrl);
  return { options, server, main, peer, say };
}

export async function clearStage({ main, peer }: Stage): Promise<void> {
  await peer.process.stop();
  await main.close();
}
