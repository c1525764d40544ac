import type { FleetHandle, Service } from './service.js';
import { postScenario, type Scenario, SPEC_SHEET } from './scenario.js';

/** A spec sheet with as much on it as a big vehicle's has. */
export const FULL_SHEET = {
  ...SPEC_SHEET,
  name: 'Summit 6.7 diesel with rear heater and retarder cooler',
  circuit: 'engine',
  coolant: {
    ...SPEC_SHEET.coolant,
    technology: 'HOAT',
    capacity: { value: 36.5, unit: 'L' },
    drainable: { value: 27, unit: 'L' },
  },
  fasteners: [
    { name: 'pump-to-cover, upper row', count: 5, torque: { value: 11, unit: 'N.m' }, tolerancePercent: 10 },
    {
      name: 'pump-to-cover, lower row',
      count: 4,
      torque: { value: 25, unit: 'N.m' },
      angle: '90° in two turns of 45°',
    },
    { name: 'pump pulley', count: 4, torque: { value: 25, unit: 'N.m' } },
    { name: 'tensioner bracket', count: 3, torque: { value: 58, unit: 'N.m' }, tolerancePercent: 5 },
    { name: 'idler, smooth', count: 1, min: { value: 45, unit: 'N.m' }, max: { value: 55, unit: 'N.m' } },
    { name: 'idler, grooved', count: 1, torque: { value: 50, unit: 'N.m' } },
    { name: 'thermostat housing', count: 3, torque: { value: 10, unit: 'N.m' } },
    { name: 'fan clutch nut, left-hand thread', count: 1, torque: { value: 105, unit: 'N.m' } },
    { name: 'radiator drain plug', count: 1, torque: { value: 3, unit: 'N.m' } },
    { name: 'block drain plugs', count: 2, torque: { value: 25, unit: 'N.m' }, angle: 'new sealing rings' },
  ],
  belts: [
    { name: 'accessory', designation: '8PK2415' },
    { name: 'air conditioning', designation: '6PK1195' },
  ],
  parts: [
    {
      component: 'water-pump',
      description: 'pump with gasket and eight new bolts',
      quantity: 1,
      partNumber: 'WP-20-4471',
    },
    {
      component: 'drive-belt',
      description: 'belt for generator and pump',
      quantity: 1,
      partNumber: 'B-8PK2415',
    },
    { component: 'drive-belt', description: 'belt for the compressor', quantity: 1, partNumber: 'B-6PK1195' },
    { component: 'tensioner', description: 'tensioner with damper', quantity: 1, partNumber: 'T-118' },
    {
      component: 'thermostat',
      description: 'thermostat 82 °C with seal',
      quantity: 2,
      partNumber: 'TH-82-2',
    },
    { component: 'radiator-cap', description: 'cap 16 psi', quantity: 1, partNumber: 'C-16' },
    {
      component: 'upper-hose',
      description: 'moulded hose with two clamps',
      quantity: 1,
      partNumber: 'H-U-9',
    },
    {
      component: 'coolant-filter',
      description: 'spin-on filter without additive',
      quantity: 1,
      partNumber: 'F-330',
    },
  ],
};

export const FULL_LINES =
  'water-pump:replace,coolant:replace,drive-belt:replace:accessory,drive-belt:replace:air conditioning,tensioner:replace,thermostat:replace,upper-hose:replace,radiator-cap:test';

const everyYear = (component: string, action: string, item?: string): Record<string, unknown> => ({
  component,
  action,
  ...(item === undefined ? {} : { item }),
  everyMonths: 12,
});

const FULL_PLAN = {
  name: 'Everything once a year',
  intervals: [
    everyYear('water-pump', 'replace'),
    everyYear('coolant', 'replace'),
    everyYear('radiator', 'clean'),
    everyYear('heater-hose', 'inspect'),
    everyYear('lower-hose', 'replace'),
    everyYear('fan-drive', 'inspect'),
    everyYear('coolant-filter', 'replace'),
    everyYear('hose-clamp', 'adjust'),
    everyYear('reservoir', 'clean'),
  ],
};

async function made(answer: Promise<{ status: number; body: any }>): Promise<any> {
  const { status, body } = await answer;
  if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
  return body;
}

/**
 * Posts a vehicle whose card shows everything that a card can show: much work due, a mounted unit,
 * lost coolant, a weak mixture.
 */
export async function postFullVehicle(fleet: FleetHandle): Promise<Scenario & { mountedId: string }> {
  const { manager, mechanic } = fleet;
  const scenario = await postScenario(fleet, {
    make: 'Torvane',
    model: 'Summit 4500 crew cab',
    modelYear: 2021,
  });
  const sheet = await made(manager.post('/v1/spec-sheets', FULL_SHEET));
  const plan = await made(manager.post('/v1/interval-plans', FULL_PLAN));
  const { vehicleId, depotId } = scenario;
  const patched = await manager.patch(`/v1/vehicles/${vehicleId}`, {
    specSheetId: sheet.id,
    intervalPlanId: plan.id,
  });
  if (patched.status !== 200) throw new Error(JSON.stringify(patched.body));
  const auxiliary = await made(
    manager.post('/v1/vehicles', {
      unitNumber: 'R-114-AUX',
      depotId,
      intervalPlanId: scenario.intervalPlanId,
      mountedOn: vehicleId,
      inServiceOn: '2021-03-15',
      duty: 'severe',
    }),
  );
  await manager.post('/v1/usage-readings', {
    readings: [1, 8, 15, 22, 29].map((day, index) => ({
      vehicleId,
      readAt: `2026-03-${String(day).padStart(2, '0')}T07:00:00-07:00`,
      odometer: { value: 61_000 + index * 300, unit: 'mi' },
      engineHours: { value: 2100 + index * 9, unit: 'h' },
    })),
  });
  for (const [day, litres] of [
    ['01', 1.2],
    ['13', 1.1],
  ] as const) {
    await made(
      mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        kind: 'top-up',
        takenAt: `2026-03-${day}T12:00:00Z`,
        added: { value: litres, unit: 'L' },
        toMark: true,
        strengthPercent: 0,
        planned: false,
      }),
    );
  }
  await made(
    mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      kind: 'freeze-point',
      takenAt: '2026-03-20T12:00:00Z',
      base: 'ethylene-glycol',
      scale: 'ethylene-glycol',
      method: 'refractometer',
      value: { value: -29, unit: 'C' },
    }),
  );
  return { ...scenario, specSheetId: sheet.id, intervalPlanId: plan.id, mountedId: auxiliary.id };
}

/** What such a vehicle reported: one fault lasts, one went away. */
export const FULL_FAULTS = [
  { code: 'SPN 111 FMI 17', seenAt: '2026-03-30T12:00:00Z', occurrences: 4 },
  { code: 'SPN 1639 FMI 3', seenAt: '2026-03-28T12:00:00Z' },
  { code: 'SPN 1639 FMI 3', seenAt: '2026-03-29T12:00:00Z', active: false },
];

export const FULL_NOW: NonNullable<Parameters<Service['clock']['moveTo']>[0]> = '2026-04-02T15:00:00Z';
