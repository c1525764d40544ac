/** A reading to post, and the line that it opens at once. */
export interface FindingAtOnce {
  reading: Record<string, unknown> & { kind: string };
  opens: [component: string, action: string];
  item?: string;
  /** The reason that the line gives for being open. */
  cause: RegExp;
}

const psi = (value: number) => ({ value, unit: 'psi' });
const inHg = (value: number) => ({ value, unit: 'inHg' });
const cool = { value: 20, unit: 'C' };
const COLD = { startTemperature: cool, endTemperature: cool };

/**
 * A ten-minute pressure test on a cold engine, starting at 16 psi. It fails when it ends well
 * below.
 */
export const pressureTest = (end: number) => ({
  ...{ kind: 'hold-test', method: 'pressure', start: psi(16), end: psi(end), minutes: 10 },
  ...{ gaugeResolution: psi(0.1), ...COLD },
});

/**
 * A six-minute vacuum test on a dry system, starting at 22 inHg, which is deep enough at 1,500 m.
 */
export const vacuumTest = (end: number) => ({
  ...{ kind: 'hold-test', method: 'vacuum', start: inHg(22), end: inHg(end), minutes: 6 },
  ...{ gaugeResolution: inHg(0.1), wet: false, ...COLD },
});

const WARM_UP = { kind: 'warm-up-check', heatAtVents: true, temperatureSteady: true };
const BELT = { kind: 'belt-check', item: 'accessory' };
const DRIVE = { kind: 'road-test', distance: { value: 12, unit: 'km' } };

/** For a vehicle with the sheet and the depot of `postScenario`. */
export const FINDINGS_AT_ONCE: [what: string, found: FindingAtOnce][] = [
  [
    'a failed pressure test',
    { reading: pressureTest(12), opens: ['coolant', 'test'], cause: /^The pressure test failed/ },
  ],
  [
    'a failed vacuum test',
    { reading: vacuumTest(17), opens: ['coolant', 'test'], cause: /^The vacuum test failed/ },
  ],
  [
    'a freeze point that is not low enough',
    {
      reading: {
        ...{ kind: 'freeze-point', base: 'ethylene-glycol', scale: 'ethylene-glycol' },
        ...{ method: 'refractometer', value: { value: -20, unit: 'C' } },
      },
      opens: ['coolant', 'adjust'],
      cause: /strength/,
    },
  ],
  [
    'a loose fastener',
    {
      reading: { kind: 'torque-set', fastener: 'pump-to-cover', unit: 'N.m', setTo: 5, count: 9 },
      opens: ['water-pump', 'adjust'],
      item: 'pump-to-cover',
      cause: /torque/,
    },
  ],
  [
    'combustion gas',
    {
      reading: { kind: 'combustion-gas-test', positive: true },
      opens: ['head-gasket', 'replace'],
      cause: /park the vehicle.*EGR cooler.*injector sleeve/,
    },
  ],
  [
    'a cap that does not hold',
    {
      reading: { kind: 'cap-test', holdsAt: psi(8), opensAt: psi(16), vacuumValveOk: true },
      opens: ['radiator-cap', 'replace'],
      cause: /cap/,
    },
  ],
  [
    'oil in the coolant',
    {
      reading: { kind: 'coolant-condition', appearance: 'oily' },
      opens: ['oil-cooler', 'replace'],
      cause: /^Oil.*head gasket/,
    },
  ],
  [
    'rust in the coolant',
    {
      reading: { kind: 'coolant-condition', appearance: 'rusty' },
      opens: ['coolant', 'flush'],
      cause: /^Rust/,
    },
  ],
  [
    'a worn belt',
    {
      reading: { ...BELT, ribsSeated: true, wearGauge: 'worn' },
      opens: ['drive-belt', 'replace'],
      item: 'accessory',
      cause: /worn/,
    },
  ],
  [
    'a belt soaked with oil',
    {
      reading: { ...BELT, ribsSeated: true, contaminated: true },
      opens: ['drive-belt', 'replace'],
      item: 'accessory',
      cause: /^Oil or coolant is on the belt/,
    },
  ],
  [
    'a belt out of line',
    {
      reading: { ...BELT, offset: { value: 5, unit: 'mm' }, span: { value: 220, unit: 'mm' } },
      opens: ['drive-belt', 'adjust'],
      item: 'accessory',
      cause: /out of line/,
    },
  ],
  [
    'a leak at warm-up',
    { reading: { ...WARM_UP, leakSeen: true }, opens: ['coolant', 'test'], cause: /^A leak .* at warm-up/ },
  ],
  [
    'a thermostat that stays shut',
    {
      reading: { ...WARM_UP, thermostatOpened: false },
      opens: ['thermostat', 'replace'],
      cause: /^The thermostat did not open/,
    },
  ],
  [
    'a dead fan',
    { reading: { ...WARM_UP, fanCycled: false }, opens: ['fan-drive', 'replace'], cause: /^The fan/ },
  ],
  [
    'a leak on the road',
    { reading: { ...DRIVE, leakSeen: true }, opens: ['coolant', 'test'], cause: /^A leak .* on the road/ },
  ],
  [
    'a warning lamp',
    { reading: { ...DRIVE, warningLamp: true, leakSeen: false }, opens: ['coolant', 'test'], cause: /lamp/ },
  ],
  [
    'an engine that boils',
    {
      reading: {
        ...{ ...DRIVE, warningLamp: false, leakSeen: false },
        ...{ highestCoolantTemperature: { value: 140, unit: 'C' } },
      },
      opens: ['coolant', 'test'],
      cause: /overheated.*combustion gas/,
    },
  ],
  [
    'water topped up',
    {
      reading: { kind: 'top-up', added: { value: 0.5, unit: 'L' }, toMark: true, strengthPercent: 0 },
      opens: ['coolant', 'test'],
      cause: /^Water/,
    },
  ],
  [
    'coolant of another base',
    {
      reading: {
        ...{ kind: 'top-up', added: { value: 0.5, unit: 'L' }, toMark: true },
        ...{ strengthPercent: 50, base: 'propylene-glycol' },
      },
      opens: ['coolant', 'flush'],
      cause: /another base/,
    },
  ],
];
