import { civilDateOf, epochDayOf } from '../src/domain/calendar/civil-date.js';
import type { Api } from './api.js';
import {
  type DepotKey,
  DEPOTS,
  DISTRICT,
  type KindKey,
  intervalPlanOf,
  KINDS,
  type PlanKey,
  PLANS,
  specSheetOf,
} from './district.js';
import { reportDefects } from './defects/defects.js';
import { historyOf } from './history.js';
import type { History, PostedUsage } from './posted.js';
import type { PostedReport } from './jobs.js';
import { ranBy, type Vehicle, vehiclesAsOf } from './vehicles.js';

/** How many requests are sent at a time: one is computed while another waits for the database. */
const LANES = 6;
const USAGE_BATCH = 5_000;
const REPORT_BATCH = 10;

interface Made {
  id: string;
}

/** Called with what is being posted, how much of it is done, and how much there is. */
export type Progress = (what: string, done: number, all: number) => void;

/**
 * Posts the demonstration fleet as its people would have: depots, spec sheets, plans, vehicles,
 * then two years of records.
 *
 * @param today the fleet's day, as a civil date; the fleet is always the same for the same day,
 * except for the ids that the service assigns
 * @throws Error when the service interprets anything differently than intended
 */
export async function loadDistrict(
  manager: Api,
  mechanic: Api,
  driver: Api,
  today: string,
  onProgress: Progress,
): Promise<void> {
  const day = epochDayOf(today);
  const vehicles = vehiclesAsOf(day);
  const history = historyOf(vehicles, day);
  const ids = await postVehicles(manager, vehicles, onProgress);
  await postUsage(mechanic, history.usage, onProgress);
  await postReports(mechanic, history.reports, ids, onProgress);
  await postReadings(mechanic, history, ids, onProgress);
  await reportDefects(driver, mechanic, vehicles, day);
  await settle(manager, mechanic, vehicles, ids);
}

async function postVehicles(
  api: Api,
  vehicles: Vehicle[],
  onProgress: Progress,
): Promise<Map<string, string>> {
  const idOf = async (path: string, body: object) => (await api.post<Made>(path, body)).id;
  const depots = new Map<DepotKey, string>();
  for (const key of Object.keys(DEPOTS) as DepotKey[])
    depots.set(key, await idOf('/v1/depots', DEPOTS[key].posted));
  const sheets = new Map<KindKey, string>();
  for (const key of Object.keys(KINDS) as KindKey[])
    sheets.set(key, await idOf('/v1/spec-sheets', specSheetOf(KINDS[key])));
  const plans = new Map<PlanKey, string>();
  for (const key of Object.keys(PLANS) as PlanKey[])
    plans.set(key, await idOf('/v1/interval-plans', intervalPlanOf(key)));
  const ids = new Map<string, string>();
  await inLanes(vehicles, async (vehicle) => {
    const posted = {
      ...vehicleBody(vehicle),
      depotId: depots.get(vehicle.depot),
      specSheetId: sheets.get(vehicle.kindKey),
      intervalPlanId: plans.get(vehicle.kind.plan),
    };
    ids.set(vehicle.unitNumber, await idOf('/v1/vehicles', posted));
    onProgress('vehicles', ids.size, vehicles.length);
  });
  return ids;
}

function vehicleBody(vehicle: Vehicle): object {
  const { unitNumber, duty, kind, modelYear, firstDay, isSecondHand, serialNumber } = vehicle;
  const body = { unitNumber, duty, make: kind.make, model: kind.model, modelYear, serialNumber };
  if (isSecondHand) return body;
  const miles = ranBy(vehicle, 'miles', firstDay);
  const hours = ranBy(vehicle, 'hours', firstDay);
  return {
    ...body,
    inServiceOn: civilDateOf(firstDay),
    inServiceOdometer: miles === null ? null : { value: Math.floor(miles), unit: 'mi' },
    inServiceEngineHours: hours === null ? null : { value: Math.floor(hours), unit: 'h' },
  };
}

interface Counted {
  accepted: number;
  held: number;
  results: { index: number; status: string; reason?: string; detail?: string }[];
}

async function postUsage(api: Api, usage: PostedUsage[], onProgress: Progress): Promise<void> {
  onProgress('usage readings', 0, usage.length);
  let done = 0;
  let held = 0;
  for (const readings of batchesOf(usage, USAGE_BATCH)) {
    const answer = await api.post<Counted>('/v1/usage-readings', { readings });
    const other = answer.results.find(({ status }) => status !== 'accepted' && status !== 'held');
    if (other) throw new Error(`a usage reading was ${other.status}: ${other.detail ?? ''}`);
    held += answer.held;
    done += readings.length;
    onProgress('usage readings', done, usage.length);
  }
  if (held !== 1) throw new Error(`${held} usage readings were held where one was meant to be`);
}

interface ReportResults {
  results: { status: number; report?: { outcome: { held: { detail: string }[] } }; problem?: unknown }[];
}

/**
 * Posts the reports of one vehicle in order, one after the other, and those of different vehicles
 * in parallel.
 */
async function postReports(
  api: Api,
  reports: PostedReport[],
  ids: Map<string, string>,
  onProgress: Progress,
): Promise<void> {
  let done = 0;
  const byVehicle = new Map<string, PostedReport[]>();
  for (const report of reports)
    byVehicle.set(report.unitNumber, [...(byVehicle.get(report.unitNumber) ?? []), report]);
  await inLanes([...byVehicle], async ([unitNumber, own]) => {
    for (const batch of batchesOf(own, REPORT_BATCH)) {
      const posted = batch.map(({ unitNumber: _named, ...report }) => ({
        vehicleId: ids.get(unitNumber),
        ...report,
      }));
      const { results } = await api.post<ReportResults>('/v1/job-reports/batch', { reports: posted });
      for (const { status, report, problem } of results) {
        const [held] = report?.outcome.held ?? [];
        if (status !== 201 || held)
          throw new Error(`a job report of ${unitNumber}: ${held?.detail ?? JSON.stringify(problem)}`);
      }
      done += batch.length;
      onProgress('job reports', done, reports.length);
    }
  });
}

async function postReadings(
  api: Api,
  { readings }: History,
  ids: Map<string, string>,
  onProgress: Progress,
): Promise<void> {
  let done = 0;
  await inLanes(readings, async ({ unitNumber, body }) => {
    await api.post(`/v1/vehicles/${ids.get(unitNumber)}/readings`, body);
    onProgress('top-ups and freeze points', ++done, readings.length);
  });
}

/** What people did since: laid up vehicles, acknowledged an alert, put labels on all vehicles. */
async function settle(
  manager: Api,
  mechanic: Api,
  vehicles: Vehicle[],
  ids: Map<string, string>,
): Promise<void> {
  for (const { unitNumber, status, parkedFrom } of vehicles) {
    if (status === 'in-use' || parkedFrom === null) continue;
    await manager.patch(`/v1/vehicles/${ids.get(unitNumber)}`, {
      status,
      effectiveOn: civilDateOf(parkedFrom),
    });
  }
  await manager.patch('/v1/fleet', { driverLabels: 'defects-and-top-ups' });
  await manager.post('/v1/vehicle-labels', {});
  const { items } = await mechanic.get<{ items: { id: string; vehicle: { unitNumber: string } | null }[] }>(
    '/v1/loss-alerts?kind=repeat-top-ups',
  );
  const seen = items.find(({ vehicle }) => vehicle?.unitNumber === 'DT-303');
  if (seen)
    await mechanic.post(`/v1/loss-alerts/${seen.id}/acknowledge`, {
      note: 'Damp at the lower radiator tank. Pressure test when it is in next.',
    });
}

/**
 * Gives the fleet its final name, which marks it as complete. An interrupted load never gets this
 * far.
 */
export async function markLoaded(manager: Api): Promise<void> {
  await manager.patch('/v1/fleet', { name: DISTRICT.name });
}

function batchesOf<T>(things: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(things.length / size) }, (_, index) =>
    things.slice(index * size, (index + 1) * size),
  );
}

async function inLanes<T>(things: readonly T[], work: (thing: T) => Promise<void>): Promise<void> {
  const waiting = [...things];
  const lane = async (): Promise<void> => {
    for (let thing = waiting.shift(); thing !== undefined; thing = waiting.shift()) await work(thing);
  };
  await Promise.all(Array.from({ length: LANES }, lane));
}
