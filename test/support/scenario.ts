import { GOOD_READINGS, SPEC_SHEET } from '../../bench/scenario.js';
import type { FleetHandle } from './service.js';

export { SPEC_SHEET };

/** An invented plan, as a manager would post it. */
export const INTERVAL_PLAN = {
  name: 'Light trucks',
  intervals: [
    {
      component: 'water-pump',
      action: 'replace',
      everyDistance: { value: 100_000, unit: 'mi' },
      everyMonths: 96,
      severe: { everyDistance: { value: 60_000, unit: 'mi' }, everyMonths: 60 },
      window: { distance: { value: 2000, unit: 'mi' }, days: 30 },
      grace: { days: 14 },
    },
    {
      component: 'coolant',
      action: 'replace',
      everyDistance: { value: 60_000, unit: 'mi' },
      everyMonths: 48,
      severe: { everyDistance: { value: 40_000, unit: 'mi' }, everyMonths: 36 },
    },
    {
      component: 'drive-belt',
      action: 'inspect',
      everyDistance: { value: 15_000, unit: 'mi' },
      everyMonths: 12,
    },
    {
      component: 'drive-belt',
      action: 'replace',
      everyDistance: { value: 90_000, unit: 'mi' },
      severe: { everyDistance: { value: 60_000, unit: 'mi' } },
    },
  ],
};

export interface Scenario {
  depotId: string;
  specSheetId: string;
  intervalPlanId: string;
  vehicleId: string;
}

async function made(promise: Promise<{ status: number; body: any }>): Promise<string> {
  const { status, body } = await promise;
  if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
  return body.id;
}

/** A depot at 1,500 m, a sheet, a plan, and a severe-duty vehicle in service since 2021-03-15. */
export async function postScenario(
  fleet: FleetHandle,
  vehicle: Record<string, unknown> = {},
): Promise<Scenario> {
  const { manager } = fleet;
  const depotId = await made(
    manager.post('/v1/depots', {
      name: 'Ridge',
      elevation: { value: 1500, unit: 'm' },
      designLowTemperature: { value: -30, unit: 'C' },
    }),
  );
  const specSheetId = await made(manager.post('/v1/spec-sheets', SPEC_SHEET));
  const intervalPlanId = await made(manager.post('/v1/interval-plans', INTERVAL_PLAN));
  const vehicleId = await made(
    manager.post('/v1/vehicles', {
      unitNumber: 'R-114',
      depotId,
      specSheetId,
      intervalPlanId,
      duty: 'severe',
      inServiceOn: '2021-03-15',
      inServiceOdometer: { value: 12, unit: 'mi' },
      ...vehicle,
    }),
  );
  return { depotId, specSheetId, intervalPlanId, vehicleId };
}

/** A well-done job with all eight of the usual readings. */
export function goodJob(vehicleId: string, performedAt: string, odometerMi: number): Record<string, unknown> {
  return {
    vehicleId,
    performedAt,
    performedBy: 'badge 7',
    odometer: { value: odometerMi, unit: 'mi' },
    releasedForService: 'yes',
    lines: [
      {
        component: 'water-pump',
        action: 'replace',
        partNumber: 'WP-20',
        lot: 'L-3',
        finding: 'seal weeping',
        failed: true,
      },
      { component: 'coolant', action: 'replace' },
      { component: 'drive-belt', action: 'replace', item: 'accessory' },
    ],
    readings: GOOD_READINGS,
  };
}
