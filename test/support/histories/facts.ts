import fc from 'fast-check';
import { type Fleet, postAlone, postDefect, postFault, postJob, postUsage, taken } from './fleet.js';
import { type Shown, type Source, type Usage, usageArb, type Way } from './ways.js';
import { aloneArb, defectArb, faultArb, jobArb } from './work.js';

/** Facts with no two at the same instant for one vehicle. An odometer is replaced at most once. */
export const factsArb = fc.uniqueArray(
  fc.oneof(
    { weight: 4, arbitrary: fc.record({ is: fc.constant('usage' as const), fact: usageArb }) },
    { weight: 1, arbitrary: fc.record({ is: fc.constant('job' as const), fact: jobArb }) },
    { weight: 1, arbitrary: fc.record({ is: fc.constant('alone' as const), fact: aloneArb }) },
    { weight: 1, arbitrary: fc.record({ is: fc.constant('fault' as const), fact: faultArb }) },
    { weight: 1, arbitrary: fc.record({ is: fc.constant('defect' as const), fact: defectArb }) },
  ),
  {
    minLength: 2,
    maxLength: 30,
    selector: ({ is, fact }) =>
      is === 'usage' && fact.shown === 'replaced'
        ? `${fact.vehicle} replaced`
        : `${fact.vehicle} ${fact.day} ${fact.minute}`,
  },
);
export type Fact = typeof factsArb extends fc.Arbitrary<(infer T)[]> ? T : never;

/** A usage reading of the second vehicle. */
export const usage = (day: number, minute: number, shown: Shown, source: Source = 'dash'): Fact => ({
  ...{ is: 'usage', fact: { vehicle: 1, day, minute, shown, hours: 'none', source } },
});
/**
 * Posts facts in the given order. Usage readings that follow one another form batches of at most
 * `batchSize`.
 */
export async function postAll(fleet: Fleet, ways: Way[], facts: Fact[], batchSize: number): Promise<void> {
  let waiting: Usage[] = [];
  const flush = async (): Promise<void> => {
    await postUsage(fleet, ways, waiting);
    waiting = [];
  };
  for (const { is, fact } of facts) {
    if (is === 'usage') {
      waiting.push(fact);
      if (waiting.length >= batchSize) await flush();
      continue;
    }
    await flush();
    if (is === 'job') await postJob(fleet, ways, fact);
    else if (is === 'fault') await postFault(fleet, fact);
    else if (is === 'defect') await postDefect(fleet, fact);
    else await postAlone(fleet, ways, fact);
  }
  await flush();
}

/** Returns what a fleet is shown, without ids, which differ between fleets. */
export async function shownTo({ handle: { dashboard }, vehicleIds }: Fleet): Promise<object> {
  const items = async (path: string): Promise<any[]> => taken(await dashboard.get(path)).body.items;
  const unitOf = (id: string): number => vehicleIds.indexOf(id);
  const sorted = (rows: object[]): string[] => rows.map((row) => JSON.stringify(row)).sort();
  const lines = await items('/v1/due-list?state=late,due,window,not-due,no-baseline&limit=200');
  const usage = [];
  for (const status of ['accepted', 'held', 'discarded', 'voided'])
    usage.push(...(await items(`/v1/usage-readings?status=${status}&limit=200`)));
  const alerts = await items('/v1/loss-alerts?limit=200');
  const faults = await items('/v1/faults?limit=200');
  const rates = [];
  for (const id of vehicleIds) {
    const { readings: _readings, ...rest } = taken(await dashboard.get(`/v1/vehicles/${id}/usage`)).body;
    rates.push(rest);
  }
  return {
    lines: sorted(
      lines.map(({ id: _id, vehicle, lastDone, ...line }) => ({
        unit: vehicle.unitNumber,
        ...line,
        lastDone: lastDone && { ...lastDone, jobReportId: lastDone.jobReportId !== null },
      })),
    ),
    usage: sorted(
      usage.map(({ id: _id, jobReportId, vehicleId, ...reading }) => ({
        unit: unitOf(vehicleId),
        ...reading,
        ofJob: jobReportId !== null,
      })),
    ),
    alerts: sorted(
      alerts.map(({ kind, circuit, status, vehicle, raisedAt, returned, computed }) => ({
        ...{ unit: vehicle.unitNumber, kind, circuit, status, raisedAt, returned, computed },
      })),
    ),
    faults: sorted(
      faults.map(({ vehicleId, code, state, firstSeenAt, lastSeenAt, goneAt, followUps }) => ({
        ...{ unit: unitOf(vehicleId), code, state, firstSeenAt, lastSeenAt, goneAt },
        followUps: followUps.map(({ component, action }: any) => `${component}/${action}`).sort(),
      })),
    ),
    rates,
  };
}

export const endingArb = fc.record({
  how: fc.constantFrom('accept', 'discard', 'void', 'void job'),
  which: fc.nat(30),
});
export type Ending = { how: 'accept' | 'discard' | 'void' | 'void job'; which: number };

/** Decides on one reading, or voids one job: the same one in each fleet, found by its content. */
export async function end({ handle: { manager }, vehicleIds }: Fleet, { how, which }: Ending): Promise<void> {
  const isJob = how === 'void job';
  const path = isJob ? 'job-reports?' : `usage-readings?status=${how === 'void' ? 'accepted' : 'held'}&`;
  const { items } = taken(await manager.get(`/v1/${path}limit=200`)).body;
  const saying = ({ vehicleId, readAt, performedAt, odometer, engineHours, source }: any): string =>
    JSON.stringify([vehicleIds.indexOf(vehicleId), readAt ?? performedAt, odometer, engineHours, source]);
  const sorted = items
    .filter((item: any) => !item.voided)
    .sort((a: any, b: any) => (saying(a) < saying(b) ? -1 : 1));
  const one = sorted[which % Math.max(1, sorted.length)];
  if (!one) return;
  if (isJob) taken(await manager.post(`/v1/job-reports/${one.id}/void`, { reason: 'wrong' }));
  else taken(await manager.post(`/v1/usage-readings/${one.id}/${how}`));
}
