/** An invented powertrain, also used by the tests. */
export const SPEC_SHEET = {
  name: 'Highland 4.6 petrol',
  circuit: 'engine',
  coolant: {
    base: 'ethylene-glycol',
    technology: 'OAT',
    capacity: { value: 14, unit: 'L' },
    drainable: { value: 9.5, unit: 'L' },
    targetStrengthPercent: 50,
    capRating: { value: 16, unit: 'psi' },
  },
  holdTest: {
    method: 'vacuum',
    target: { value: 23, unit: 'inHg' },
    minutes: 5,
    allowedLoss: { value: 1, unit: 'inHg' },
  },
  fasteners: [
    {
      name: 'pump-to-cover',
      count: 9,
      component: 'water-pump',
      torque: { value: 11, unit: 'N.m' },
      tolerancePercent: 10,
    },
  ],
  belts: [{ name: 'accessory', designation: '6PK1880' }],
  hoses: ['upper', 'lower'],
  parts: [{ component: 'water-pump', description: 'pump with gasket', quantity: 1 }],
};

/** Its intervals, with one due line each. */
export const INTERVAL_PLAN = {
  name: 'Light trucks',
  intervals: [
    {
      component: 'water-pump',
      action: 'replace',
      everyDistance: { value: 100_000, unit: 'mi' },
      everyMonths: 96,
      window: { days: 30 },
      grace: { days: 14 },
    },
    {
      component: 'coolant',
      action: 'replace',
      everyDistance: { value: 60_000, unit: 'mi' },
      everyMonths: 48,
      window: { days: 30 },
      grace: { days: 14 },
    },
    {
      component: 'drive-belt',
      action: 'inspect',
      everyDistance: { value: 15_000, unit: 'mi' },
      everyMonths: 12,
      window: { days: 30 },
      grace: { days: 14 },
    },
  ],
};

/** The readings that prove a job, all of them good, in the order in which they are taken. */
export const GOOD_READINGS = [
  {
    kind: 'hold-test',
    method: 'vacuum',
    start: { value: 22, unit: 'inHg' },
    end: { value: 21.7, unit: 'inHg' },
    minutes: 6,
    gaugeResolution: { value: 0.5, unit: 'inHg' },
    coolantTemperature: { value: 22, unit: 'C' },
    wet: true,
  },
  {
    kind: 'torque-set',
    fastener: 'pump-to-cover',
    unit: 'N.m',
    values: [11, 11.2, 10.8, 11, 11, 11.1, 10.9, 11, 11],
    source: 'setting',
  },
  {
    kind: 'fill',
    drained: { value: 9.4, unit: 'L' },
    cameInLow: false,
    added: { value: 9.3, unit: 'L' },
    strengthPercent: 50,
    base: 'ethylene-glycol',
    technology: 'OAT',
  },
  {
    kind: 'warm-up-check',
    heatAtVents: true,
    fanCycled: true,
    thermostatOpened: true,
    temperatureSteady: true,
    leakSeen: false,
    levelAfterCooling: 'at-mark',
  },
  {
    kind: 'belt-check',
    item: 'accessory',
    ribsSeated: true,
    offset: { value: 0.5, unit: 'mm' },
    span: { value: 220, unit: 'mm' },
    wearGauge: 'ok',
  },
  { kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true },
  {
    kind: 'top-up',
    added: { value: 0.3, unit: 'L' },
    toMark: true,
    strengthPercent: 50,
    base: 'ethylene-glycol',
    technology: 'OAT',
    planned: true,
  },
  {
    kind: 'freeze-point',
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'refractometer',
    value: { value: -37, unit: 'C' },
  },
];

/** A well-done job with eight readings. */
export function jobReport(
  vehicleId: string,
  performedAt: string,
  odometerKm: number,
): Record<string, unknown> {
  return {
    vehicleId,
    performedAt,
    performedBy: 'badge 7',
    odometer: { value: odometerKm, unit: 'km' },
    releasedForService: 'yes',
    lines: [
      {
        component: 'water-pump',
        action: 'replace',
        partNumber: 'WP-20',
        lot: 'L-3',
        finding: 'seal weeping',
      },
      { component: 'coolant', action: 'replace' },
      { component: 'drive-belt', action: 'inspect' },
    ],
    readings: GOOD_READINGS,
  };
}
