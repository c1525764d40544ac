import type { Scenario } from './scenario.js';
import type { FleetHandle } from './service.js';

/** What asks for a decision, each kind made at a vehicle of its own, on 2 April 2026. */
export type MatterMade = 'released-with-findings' | 'at-once' | 'late' | 'loss-alert' | 'held-reading';

export interface MatterMaker {
  /** A vehicle of which nothing is due. */
  add: (unitNumber: string, over?: object) => Promise<string>;
  /** Makes a vehicle with a matter of a kind. */
  make: (kind: MatterMade, unitNumber: string) => Promise<void>;
  /** A pressure test that failed. */
  failedTest: (takenAt?: string) => object;
}

/** The kinds, the worst first. */
export const MATTERS_MADE: readonly MatterMade[] = [
  ...(['released-with-findings', 'at-once', 'late', 'loss-alert', 'held-reading'] as const),
];

const failedTest = (takenAt?: string): object => ({
  ...{ kind: 'hold-test', ...(takenAt && { takenAt }), method: 'pressure', minutes: 5 },
  ...{ start: { value: 15, unit: 'psi' }, end: { value: 5, unit: 'psi' } },
});

async function posted(answer: Promise<{ status: number; body: any }>): Promise<any> {
  const { status, body } = await answer;
  expect([status < 300, body.errors]).toEqual([true, undefined]);
  return body;
}

/** Makes what asks for a decision, at vehicles of a scenario's depot and sheet. */
export async function matterMaker(fleet: FleetHandle, scenario: Scenario): Promise<MatterMaker> {
  const { depotId, specSheetId } = scenario;
  const { manager, mechanic } = fleet;
  const { id: intervalPlanId } = await posted(
    manager.post('/v1/interval-plans', {
      name: 'Belts alone',
      intervals: [{ component: 'drive-belt', action: 'inspect', everyMonths: 12, grace: { days: 10 } }],
    }),
  );
  const add: MatterMaker['add'] = async (unitNumber, over = {}) => {
    const vehicle = { unitNumber, depotId, specSheetId, intervalPlanId, inServiceOn: '2026-03-01' };
    const inServiceOdometer = { value: 0, unit: 'mi' };
    return (await posted(manager.post('/v1/vehicles', { ...vehicle, inServiceOdometer, ...over }))).id;
  };
  const usage = (vehicleId: string, day: string, value: number) => {
    const reading = { vehicleId, readAt: `2026-03-${day}T12:00:00Z`, odometer: { value, unit: 'mi' } };
    return posted(mechanic.post('/v1/usage-readings', { readings: [reading] }));
  };
  const making: Record<MatterMade, (unit: string) => Promise<unknown>> = {
    'released-with-findings': async (unit) =>
      posted(
        mechanic.post('/v1/job-reports', {
          ...{ vehicleId: await add(unit), performedAt: '2026-04-01T12:00:00Z', performedBy: 'badge 7' },
          ...{ lines: [{ component: 'upper-hose', action: 'inspect' }], releasedForService: 'yes' },
          readings: [failedTest()],
        }),
      ),
    'at-once': async (unit) =>
      posted(mechanic.post(`/v1/vehicles/${await add(unit)}/readings`, failedTest('2026-04-01T12:00:00Z'))),
    late: (unit) => add(unit, { inServiceOn: '2024-01-15' }),
    'loss-alert': async (unit) => {
      const id = await add(unit);
      for (const day of ['10', '20', '28'])
        await posted(
          mechanic.post(`/v1/vehicles/${id}/readings`, {
            ...{ kind: 'top-up', takenAt: `2026-03-${day}T12:00:00Z`, toMark: true, planned: false },
            added: { value: 1.5, unit: 'qt' },
          }),
        );
    },
    'held-reading': async (unit) => {
      const id = await add(unit);
      await usage(id, '10', 100);
      await usage(id, '11', 90_000);
    },
  };
  return { add, failedTest, make: async (kind, unit) => void (await making[kind](unit)) };
}
