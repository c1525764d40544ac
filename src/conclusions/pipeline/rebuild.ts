import pg from 'pg';
import type { DataSource, EntityManager } from 'typeorm';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Clock } from '../../platform/clock/clock.js';
import { planOnce } from '../../platform/database/planning.js';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { type DatabaseSchema, openDataSource } from '../../platform/database/data-source.js';
import { ConclusionsService } from './conclusions.service.js';
import { ConclusionStore } from '../store/conclusion-store.js';
import type { VehicleConclusion } from '../store/vehicle-conclusion.js';
import { lineChangesOf } from '../store/line-changes.js';
import type { CounterConclusion } from '../../domain/conclusions/vehicle-history.js';
import { canonicalJson } from '../../domain/canonical-json.js';
import { relistVehicles } from '../store/listed-faults.js';
import { isSameAlert } from '../store/same-alert.js';

/** One difference between what was stored and what the history says. */
export interface Difference {
  fleetId: string;
  unitNumber: string;
  what: string;
}

export interface RebuildResult {
  vehicles: number;
  differences: Difference[];
}

export interface RebuildOptions {
  databaseUrl: string;
  schema: DatabaseSchema;
  clock: Clock;
  /** Only these fleets. Missing: all fleets. */
  fleetIds?: readonly string[];
  onProgress?: (done: number) => void;
}

/** Vehicles concluded at a time. Limits the memory used. */
const CHUNK = 500;

interface FleetRow {
  id: string;
  time_zone: string;
  units: UnitSystem;
}

/**
 * Concludes every vehicle again from its whole history, stores what differs and returns the
 * differences. There are none in a correct database.
 */
export async function rebuildAll({
  databaseUrl,
  schema,
  clock,
  fleetIds,
  onProgress,
}: RebuildOptions): Promise<RebuildResult> {
  const fleets = await listFleets(databaseUrl, fleetIds ?? null);
  const dataSource = await openDataSource({
    url: databaseUrl,
    role: 'weephole_app',
    poolSize: 2,
    applicationName: 'weephole rebuild',
    schema,
  });
  const result: RebuildResult = { vehicles: 0, differences: [] };
  try {
    const conclusions = new ConclusionsService(clock, new ConclusionStore({ wake: nobody }));
    for (const { id: fleetId, time_zone: timeZone, units } of fleets) {
      await inFleet({ fleetId, timeZone, units, tokenId: null, role: null }, async () => {
        for (let after: string | null = null; ;) {
          const { last, count, differences } = await rebuildChunk(
            dataSource,
            conclusions,
            after,
            clock.now().getTime(),
          );
          result.vehicles += count;
          result.differences.push(...differences);
          if (count > 0) onProgress?.(result.vehicles);
          if (last === null) break;
          after = last;
        }
      });
    }
  } finally {
    await dataSource.destroy();
  }
  return result;
}

/** The service's workers look at the outbox by themselves, so the rebuild wakes nobody. */
const nobody = (): void => undefined;

/** Lists the fleets as the owner of the tables, because no fleet is in scope yet. */
async function listFleets(databaseUrl: string, fleetIds: readonly string[] | null): Promise<FleetRow[]> {
  const client = new pg.Client({
    connectionString: databaseUrl,
    application_name: 'weephole rebuild',
    options: '-c role=weephole_owner',
  });
  await client.connect();
  try {
    const { rows } = await client.query<FleetRow>(
      'select id, time_zone, units from fleets where $1::uuid[] is null or id = any($1) order by id',
      [fleetIds],
    );
    return rows;
  } finally {
    await client.end();
  }
}

async function rebuildChunk(
  dataSource: DataSource,
  service: ConclusionsService,
  after: string | null,
  asOf: number,
): Promise<{ last: string | null; count: number; differences: Difference[] }> {
  const { fleetId } = fleetScope();
  return dataSource.transaction(async (tx) => {
    await planOnce(tx);
    const rows = await tx.query<{ id: string }[]>(
      'select id from vehicles where fleet_id = $1 and ($2::uuid is null or id > $2) order by id limit $3 for no key update',
      [fleetId, after, CHUNK],
    );
    if (rows.length === 0) return { last: null, count: 0, differences: [] };
    const loaded = await service.load(
      tx,
      rows.map(({ id }) => ({ vehicleId: id, usageFrom: new Date(0) })),
    );
    const conclusions = await service.derive(tx, loaded);
    const differences = conclusions.flatMap((conclusion) =>
      differencesOf(conclusion, asOf).map((what) => ({
        fleetId,
        unitNumber: conclusion.history.unitNumber,
        what,
      })),
    );
    if (differences.length > 0) await service.store(tx, conclusions);
    differences.push(...(await faultDifferences(tx, conclusions)));
    return {
      last: rows.length === CHUNK ? (rows.at(-1)?.id ?? null) : null,
      count: rows.length,
      differences,
    };
  });
}

/** Lists the faults of some vehicles anew. Returns those that were listed differently. */
async function faultDifferences(
  tx: EntityManager,
  conclusions: readonly VehicleConclusion[],
): Promise<Difference[]> {
  const { fleetId } = fleetScope();
  const units = new Map(conclusions.map(({ history }) => [history.vehicleId, history.unitNumber]));
  const relisted = await relistVehicles(tx, fleetId, [...units.keys()]);
  return relisted.map(({ id, vehicleId }) => ({
    fleetId,
    unitNumber: units.get(vehicleId) ?? '',
    what: `the fault ${id} is listed otherwise by its history`,
  }));
}

/** The differences between what is stored about a vehicle and what its history says. */
function differencesOf(conclusion: VehicleConclusion, asOf: number): string[] {
  const { history, usage, jobs, readings, reEvaluations, faults, hotDays, defects, alerts } = conclusion;
  const found: string[] = [];
  for (const { id, status } of usage.judged) found.push(`usage reading ${id} is ${status} by its history`);
  for (const fact of [...jobs, ...readings, ...reEvaluations, ...faults, ...hotDays])
    found.push(`the usage at the time of ${fact.id} is another by its history`);
  for (const { id, state } of defects)
    found.push(`the defect ${id} is ${state} by its history, or lies at another usage`);
  for (const [name, stored, concluded] of [
    ['distance', history.summary.distance, usage.distance.conclusion],
    ['engine hours', history.summary.engineHours, usage.engineHours.conclusion],
  ] as const) {
    if (!sameCounter(stored, concluded)) found.push(`the ${name} summary is another by its history`);
  }
  const { added, changed, closed } = lineChangesOf(conclusion);
  for (const line of [...added, ...changed])
    found.push(`the due line ${line.component}/${line.action} is another by its history`);
  for (const id of closed) found.push(`the due line ${id} stands open without a reason`);
  const byKey = new Map(history.alerts.map((alert) => [alert.key, alert]));
  for (const { episode } of alerts) {
    const stored = byKey.get(episode.key);
    byKey.delete(episode.key);
    if (!isSameAlert(stored, episode, asOf))
      found.push(`the loss alert ${episode.key} is another by its history`);
  }
  for (const alert of byKey.values())
    if (alert.isStanding) found.push(`the loss alert ${alert.key} stands without a reason`);
  return found;
}

/** Two ways to compute the same number may differ in the last bits. */
function sameCounter(stored: CounterConclusion, concluded: CounterConclusion): boolean {
  return canonicalJson(stored) === canonicalJson(concluded);
}
