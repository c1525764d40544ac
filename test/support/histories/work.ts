import fc from 'fast-check';
import { DAYS, type Shown, VEHICLES, type When, whenArb } from './ways.js';

export const LINES = {
  pump: { component: 'water-pump', action: 'replace', failed: true },
  coolant: { component: 'coolant', action: 'replace' },
  belt: { component: 'drive-belt', action: 'replace', item: 'accessory' },
  look: { component: 'drive-belt', action: 'inspect', item: 'accessory' },
  gasket: { component: 'head-gasket', action: 'replace' },
  test: { component: 'coolant', action: 'test' },
  recheck: { component: 'coolant', action: 'recheck' },
};
const inHg = (value: number) => ({ value, unit: 'inHg' });
export const MEASURED = {
  leak: { kind: 'hold-test', method: 'vacuum', start: inHg(23), end: inHg(17), minutes: 5 },
  tight: {
    ...{ kind: 'hold-test', method: 'pressure', minutes: 10, engineCold: true },
    ...{
      start: { value: 16, unit: 'psi' },
      end: { value: 16, unit: 'psi' },
      gaugeResolution: { value: 0.1, unit: 'psi' },
    },
  },
  strong: {
    kind: 'freeze-point',
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'refractometer',
    value: { value: -37, unit: 'C' },
  },
  weak: {
    kind: 'freeze-point',
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'refractometer',
    value: { value: -26, unit: 'C' },
  },
  level: { kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true },
  low: { kind: 'level-check', belowMark: { value: 1.2, unit: 'L' }, engineCold: true },
  topUp: {
    kind: 'top-up',
    added: { value: 0.5, unit: 'L' },
    toMark: true,
    strengthPercent: 50,
    planned: false,
  },
  fill: {
    ...{
      kind: 'fill',
      drained: { value: 9.4, unit: 'L' },
      added: { value: 9.3, unit: 'L' },
      strengthPercent: 50,
    },
    ...{ base: 'ethylene-glycol', technology: 'OAT' },
  },
  warm: {
    kind: 'warm-up-check',
    thermostatOpened: true,
    temperatureSteady: true,
    leakSeen: false,
    levelAfterCooling: 'at-mark',
  },
  shut: { kind: 'warm-up-check', thermostatOpened: false, leakSeen: true },
  worn: { kind: 'belt-check', item: 'accessory', ribsSeated: true, wearGauge: 'worn' },
  loose: { kind: 'torque-set', fastener: 'pump-to-cover', unit: 'N.m', setTo: 5, count: 9 },
  gas: { kind: 'combustion-gas-test', positive: true },
  noGas: { kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true },
};
export type Line = keyof typeof LINES;
export type Measured = keyof typeof MEASURED;
const LINE_NAMES = Object.keys(LINES) as Line[];
const MEASURED_NAMES = Object.keys(MEASURED) as Measured[];

/**
 * In which circuit of the second vehicle, a hybrid, the work and the readings are: unsaid is the
 * engine's, and mixed is every other one in the battery's.
 */
const circuitsArb = fc.constantFrom<Circuits[]>('unsaid', 'unsaid', 'engine', 'battery', 'mixed');
export type Circuits = 'unsaid' | 'engine' | 'battery' | 'mixed';

const odometerArb = fc.constantFrom('none', 'good', 'good', 'typed ten times', 'far back');
export type Odometer = 'none' | Shown;

export const jobArb = fc.record({
  ...whenArb,
  odometer: odometerArb,
  lines: fc.subarray(LINE_NAMES, { minLength: 1 }),
  readings: fc.subarray(MEASURED_NAMES),
  circuits: circuitsArb,
});
export type Job = When & { odometer: Odometer; lines: Line[]; readings: Measured[]; circuits?: Circuits };
export const aloneArb = fc.record({
  ...whenArb,
  odometer: odometerArb,
  reading: fc.constantFrom(...MEASURED_NAMES),
  circuits: circuitsArb,
});
export type Alone = When & { odometer: Odometer; reading: Measured; circuits?: Circuits };

/** The work that a defect may call for, and what it may be about. */
export const DEFECT_WORK = [
  { component: 'water-pump', action: 'replace' },
  { component: 'coolant', action: 'test' },
  { component: 'radiator', action: 'clean' },
] as const;
export const defectArb = fc.record({
  ...whenArb,
  source: fc.constantFrom('driver', 'mechanic', 'inspection'),
  about: fc.option(fc.nat(DEFECT_WORK.length - 1), { nil: null }),
});
export type Defect = When & { source: string; about: number | null };

export const CHANGES = {
  severe: { duty: 'severe' },
  normal: { duty: 'normal' },
  'laid up': { status: 'laid-up' },
  'in use': { status: 'in-use' },
  disposed: { status: 'disposed' },
  slower: { expectedDailyDistance: { value: 15, unit: 'km' } },
  summer: { inUseMonths: [5, 6, 7, 8, 9, 10] },
};
export const changeArb = fc.record({
  vehicle: fc.nat(VEHICLES - 1),
  change: fc.constantFrom(...(Object.keys(CHANGES) as (keyof typeof CHANGES)[]), 'other plan' as const),
  daysAgo: fc.nat(150),
});
export type Change = { vehicle: number; change: keyof typeof CHANGES | 'other plan'; daysAgo: number };

/**
 * What the vehicle reports of itself: dangerous, electrical, evidence of a loss, and of no meaning.
 */
const CODES = ['P0217', 'SPN 111 FMI 1', 'P2560', 'SPN 1639 FMI 3', 'P0128', 'P0420'] as const;
export const faultArb = fc.record({
  ...whenArb,
  // Close together, so that sightings join and work lies between them.
  day: fc.integer({ min: DAYS - 20, max: DAYS - 1 }),
  code: fc.constantFrom(...CODES),
  active: fc.constantFrom(true, true, true, false),
});
export type FaultSeen = When & { code: (typeof CODES)[number]; active: boolean };
