import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { isInCircuit } from '../../../src/domain/intervals/circuit-opening.js';
import type { Component } from '../../../src/domain/intervals/types.js';
import { hasCircuit } from '../../../src/domain/readings/kinds.js';
import { schema } from '../../../src/schema.js';
import { HYBRID_SHEET } from '../hybrid.js';
import { INTERVAL_PLAN, SPEC_SHEET } from '../scenario.js';
import type { Answer, FleetHandle, Service } from '../service.js';
import { DAY, instantOf, kmShown, NOW, type Usage, VEHICLES, type Way, type When } from './ways.js';
import {
  type Alone,
  type Change,
  CHANGES,
  type Circuits,
  type FaultSeen,
  type Defect,
  DEFECT_WORK,
  type Job,
  LINES,
  MEASURED,
  type Odometer,
} from './work.js';

/** The vehicle with a circuit for its battery besides the engine's. */
const HYBRID = 1;
export const BATTERY_INTERVAL = {
  ...{ component: 'coolant', action: 'replace', circuit: 'battery', everyMonths: 20 },
};

/** A fleet that goes through a history. */
export interface Fleet {
  service: Service;
  handle: FleetHandle;
  planIds: string[];
  vehicleIds: string[];
}

export async function newFleet(service: Service): Promise<Fleet> {
  service.clock.moveTo(new Date(NOW));
  const handle = await service.newFleet({ units: 'si', timeZone: 'America/Denver' });
  const create = async (path: string, body: object): Promise<string> =>
    taken(await handle.manager.post(`/v1/${path}`, body)).body.id;
  const specSheetId = await create('spec-sheets', SPEC_SHEET);
  const hybridSheetId = await create('spec-sheets', HYBRID_SHEET);
  const planIds = [
    await create('interval-plans', {
      ...INTERVAL_PLAN,
      intervals: [...INTERVAL_PLAN.intervals, BATTERY_INTERVAL],
    }),
    await create('interval-plans', {
      name: 'Other',
      intervals: [
        {
          component: 'coolant',
          action: 'replace',
          everyMonths: 24,
          everyEngineHours: { value: 1500, unit: 'h' },
        },
        {
          component: 'water-pump',
          action: 'replace',
          everyDistance: { value: 50_000, unit: 'km' },
          anchor: 'schedule',
        },
      ],
    }),
  ];
  const vehicleIds = [];
  for (let vehicle = 0; vehicle < VEHICLES; vehicle++) {
    vehicleIds.push(
      await create('vehicles', {
        ...{
          unitNumber: `U-${vehicle}`,
          specSheetId: vehicle === HYBRID ? hybridSheetId : specSheetId,
          intervalPlanId: planIds[0],
          inServiceOn: '2024-06-01',
        },
        ...(vehicle === 0 ? { inServiceOdometer: { value: 0, unit: 'km' } } : {}),
      }),
    );
  }
  return { service, handle, planIds, vehicleIds };
}

export function taken(answer: Answer): Answer {
  if (answer.status > 201) throw new Error(`${answer.status} ${JSON.stringify(answer.body)}`);
  return answer;
}

const odometerOf = (ways: Way[], when: When, how: Odometer) =>
  how === 'none' ? {} : { odometer: { value: kmShown(ways, when, how), unit: 'km' } };

function usageBody({ vehicleIds }: Fleet, ways: Way[], usage: Usage): object {
  // A replacement is reported for the day on which it took place.
  const replacedOn = ways[usage.vehicle]?.replacedOn ?? null;
  const isReplacement = usage.shown === 'replaced' && replacedOn !== null;
  const when = isReplacement ? { ...usage, day: replacedOn, minute: usage.minute % 5 } : usage;
  const how = usage.shown === 'replaced' && !isReplacement ? 'good' : usage.shown;
  const hours = 1000 + usage.day * 2 + usage.minute / 720;
  return {
    vehicleId: vehicleIds[usage.vehicle],
    readAt: new Date(instantOf(when)).toISOString(),
    odometer: { value: kmShown(ways, when, how), unit: 'km' },
    odometerReplaced: isReplacement,
    ...(usage.hours === 'none'
      ? {}
      : { engineHours: { value: usage.hours === 'good' ? hours : hours * 10, unit: 'h' } }),
    source: usage.source,
  };
}

export async function postUsage(fleet: Fleet, ways: Way[], usages: Usage[]): Promise<void> {
  if (usages.length === 0) return;
  const readings = usages.map((usage) => usageBody(fleet, ways, usage));
  const { body } = taken(await fleet.handle.mechanic.post('/v1/usage-readings', { readings }));
  if (body.rejected > 0) throw new Error(`${body.rejected} usage readings were rejected`);
}

/**
 * Names the circuit of work or a reading, where the vehicle has several and the thing is in one.
 */
function named<T extends { component?: string; kind?: string }>(
  what: T,
  { vehicle, circuits = 'unsaid' }: { vehicle: number; circuits?: Circuits },
  index = 0,
): T & { circuit?: string } {
  const { component, kind = '' } = what;
  const isIn = component === undefined ? hasCircuit(kind) : isInCircuit(component as Component);
  if (vehicle !== HYBRID || circuits === 'unsaid' || !isIn) return what;
  if (circuits !== 'mixed') return { ...what, circuit: circuits };
  return index % 2 === 0 ? { ...what, circuit: 'battery' } : what;
}

const jobBody = ({ vehicleIds }: Fleet, ways: Way[], job: Job): object => ({
  vehicleId: vehicleIds[job.vehicle],
  performedAt: new Date(instantOf(job)).toISOString(),
  ...odometerOf(ways, job, job.odometer),
  lines: job.lines.map((line, index) => named(LINES[line], job, index)),
  readings: job.readings.map((reading, index) => named(MEASURED[reading], job, index)),
});

export const postJob = async (fleet: Fleet, ways: Way[], job: Job): Promise<Answer> =>
  taken(await fleet.handle.mechanic.post('/v1/job-reports', jobBody(fleet, ways, job)));

export const postAlone = async (fleet: Fleet, ways: Way[], alone: Alone): Promise<Answer> =>
  taken(
    await fleet.handle.mechanic.post(`/v1/vehicles/${fleet.vehicleIds[alone.vehicle]}/readings`, {
      takenAt: new Date(instantOf(alone)).toISOString(),
      ...odometerOf(ways, alone, alone.odometer),
      ...named(MEASURED[alone.reading], alone),
    }),
  );

export const postFault = async (fleet: Fleet, fault: FaultSeen): Promise<Answer> =>
  taken(
    await fleet.handle.mechanic.post('/v1/faults', {
      faults: [
        {
          vehicleId: fleet.vehicleIds[fault.vehicle],
          code: fault.code,
          active: fault.active,
          seenAt: new Date(instantOf(fault)).toISOString(),
        },
      ],
    }),
  );

export const postDefect = async ({ handle, vehicleIds }: Fleet, defect: Defect): Promise<Answer> =>
  taken(
    await handle.mechanic.post('/v1/defects', {
      ...{ vehicleId: vehicleIds[defect.vehicle], source: defect.source, what: `seen on day ${defect.day}` },
      reportedAt: new Date(instantOf(defect)).toISOString(),
      ...(defect.about === null ? {} : { component: DEFECT_WORK[defect.about]?.component }),
    }),
  );

export async function change(
  { handle, vehicleIds, planIds }: Fleet,
  { vehicle, change: what, daysAgo }: Change,
): Promise<void> {
  const effectiveOn = new Date(NOW - daysAgo * DAY).toISOString().slice(0, 10);
  const patch = what === 'other plan' ? { intervalPlanId: planIds[1] } : CHANGES[what];
  const { status } = await handle.manager.patch(`/v1/vehicles/${vehicleIds[vehicle]}`, {
    ...patch,
    effectiveOn,
  });
  // Changes must be entered in order: one that is dated before the last is refused.
  if (status !== 200 && status !== 422) throw new Error(`a change was answered with ${status}`);
}

/** Rebuilds all conclusions from history. Returns where the result differs from what is stored. */
export async function differencesOf(...fleets: Fleet[]): Promise<string[]> {
  const ids = fleets.map(({ handle }) => handle.fleetId);
  const { service } = fleets[0] as Fleet;
  const { differences } = await rebuildAll({
    databaseUrl: service.database.url,
    schema,
    clock: service.clock,
    fleetIds: ids,
  });
  return differences.map(
    ({ fleetId, unitNumber, what }) => `${ids.indexOf(fleetId) + 1}/${unitNumber}: ${what}`,
  );
}
