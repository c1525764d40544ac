import { standardAtmosphereKpa } from '../../../src/domain/atmosphere/standard-atmosphere.js';
import { evaluateHoldTest, type HoldTestReading } from '../../../src/domain/pressure/hold-test.js';
import { vapourPressureKpa, waterShareOf } from '../../../src/domain/pressure/vacuum-limit.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { normal } from '../loss/simulation.js';

// Hold tests as they happen in a bay, from the physics up, and judged by the rule that the service
// judges by. The world differs from the rule's assumptions where
// bays do: the strength is known to every other fleet only, the weather is not, thermometers have
// an offset, and people read a needle by eye.

const inHg = (value: number): number => convert(value, 'inHg', 'kPa');
const psi = (value: number): number => convert(value, 'psi', 'kPa');
const between = (random: () => number, low: number, high: number): number => low + (high - low) * random();
const SHARE_OF_WATER = waterShareOf('ethylene-glycol', 50);
const ICE_POINT_K = 273.15;
const MINUTES = 5;
const CAP_KPA = psi(16);

/** What happens to the temperature, and what is said of it. */
interface Condition {
  wet: boolean;
  temperatures(random: () => number): { startC: number; endC: number };
  says(startC: number, endC: number): Partial<HoldTestReading>;
}

/**
 * Newton's law of cooling in air of 0 to 15 °C; an engine takes 20 to 120 minutes for 63 % of the
 * way.
 */
const cooling = (low: number, high: number) => (random: () => number) => {
  const airC = between(random, 0, 15);
  const startC = between(random, low, high);
  const endC = airC + (startC - airC) * Math.exp(-MINUTES / between(random, 20, 120));
  return { startC, endC };
};

/** Stood: at air temperature, which moves by up to ½ K. */
const stood = (random: () => number) => {
  const startC = between(random, 0, 35);
  return { startC, endC: startC + between(random, -0.5, 0.5) };
};

const changing = (low: number, high: number) => (random: () => number) => {
  const startC = between(random, 10, 30);
  return { startC, endC: startC + between(random, low, high) };
};

const both = (startC: number, endC: number) => ({ startTemperatureC: startC, endTemperatureC: endC });

export const VACUUM_CONDITIONS = {
  'cold, said so': { wet: true, temperatures: stood, says: () => ({ wet: true, engineCold: true }) },
  'drained, said so': { wet: false, temperatures: cooling(10, 50), says: () => ({ wet: false }) },
  '20 to 40 °C, both temperatures': {
    wet: true,
    temperatures: cooling(20, 40),
    says: (startC, endC) => ({ wet: true, ...both(startC, endC) }),
  },
  '20 to 40 °C, one temperature': {
    wet: true,
    temperatures: cooling(20, 40),
    says: (startC) => ({ wet: true, coolantTemperatureC: startC }),
  },
  'warm, both temperatures': {
    wet: true,
    temperatures: cooling(45, 80),
    says: (startC, endC) => ({ wet: true, ...both(startC, endC) }),
  },
  'warm, both temperatures, wet unsaid': { wet: true, temperatures: cooling(45, 80), says: both },
  'warm, no temperature': { wet: true, temperatures: cooling(45, 80), says: () => ({ wet: true }) },
  'warm, nothing said': { wet: true, temperatures: cooling(45, 80), says: () => ({}) },
  'warm, said so': { wet: true, temperatures: cooling(45, 80), says: () => ({ engineCold: false }) },
} satisfies Record<string, Condition>;

export const PRESSURE_CONDITIONS = {
  'cold, said so': { wet: true, temperatures: stood, says: () => ({ engineCold: true }) },
  'within 1 K, both temperatures': { wet: true, temperatures: changing(-1, 1), says: both },
  'warms by 3 K, both temperatures': { wet: true, temperatures: changing(3, 3), says: both },
  'warms by 3 K, no temperature': { wet: true, temperatures: changing(3, 3), says: () => ({}) },
} satisfies Record<string, Condition>;

/** Round to what the instrument shows; the reader is off by up to half a division either way. */
function readGauge(kpa: number, divisionKpa: number, random: () => number): number {
  return divisionKpa * Math.round(kpa / divisionKpa + between(random, -0.5, 0.5));
}

/** To ½ °C, with an offset of up to 1 K that both readings share. */
function thermometer(random: () => number): (valueC: number) => number {
  const offset = between(random, -1, 1);
  return (valueC) => Math.round(2 * (valueC + offset + 0.15 * normal(random))) / 2;
}

function vacuumVerdict(condition: Condition, leak: number, divisionInHg: number, random: () => number) {
  const elevationM = between(random, 0, 2000);
  const standardKpa = standardAtmosphereKpa(elevationM);
  const atmosphereKpa = standardKpa + 0.8 * normal(random);
  const { startC, endC } = condition.temperatures(random);
  const vapour = (valueC: number) => (condition.wet ? vapourPressureKpa(valueC, SHARE_OF_WATER) : 0);
  const share = standardKpa / 101.325;
  const startKpa = (inHg(23) + inHg(between(random, 0, 1.5))) * share;
  // What is not vapour is air; it follows the gas law, and a choked leak adds to it by the air
  // pressure outside.
  const airKpa = Math.max(0, atmosphereKpa - startKpa - vapour(startC));
  const pulledKpa = atmosphereKpa - airKpa - vapour(startC);
  const leakedKpa = (leak * inHg(1) * atmosphereKpa) / 101.325;
  const warmed = (endC + ICE_POINT_K) / (startC + ICE_POINT_K);
  const endKpa = atmosphereKpa - (airKpa * warmed + leakedKpa + vapour(endC));
  const divisionKpa = inHg(divisionInHg);
  const read = thermometer(random);
  return evaluateHoldTest(
    {
      ...{ kind: 'hold-test', method: 'vacuum', minutes: MINUTES, unit: 'inHg' },
      startKpa: Math.min(readGauge(pulledKpa, divisionKpa, random), standardKpa),
      endKpa: Math.max(0, readGauge(endKpa, divisionKpa, random)),
      gaugeResolutionKpa: divisionKpa,
      ...condition.says(read(startC), read(endC)),
    },
    {
      ...{ elevationM, targetKpa: inHg(23), procedureMethod: 'vacuum', base: 'ethylene-glycol' },
      strengthPercent: random() < 0.5 ? 50 : null,
    },
  ).verdict;
}

function pressureVerdict(condition: Condition, leak: number, divisionPsi: number, random: () => number) {
  const { startC, endC } = condition.temperatures(random);
  // By how little air the system holds.
  const perKelvin = between(random, 2, 6);
  const startKpa = CAP_KPA - psi(between(random, 0, 0.5));
  const endKpa = Math.max(0, startKpa - 7 * leak + perKelvin * (endC - startC));
  const divisionKpa = psi(divisionPsi);
  const read = thermometer(random);
  return evaluateHoldTest(
    {
      ...{ kind: 'hold-test', method: 'pressure', minutes: MINUTES, unit: 'psi' },
      startKpa: readGauge(startKpa, divisionKpa, random),
      endKpa: Math.max(0, readGauge(endKpa, divisionKpa, random)),
      gaugeResolutionKpa: divisionKpa,
      ...condition.says(read(startC), read(endC)),
    },
    // Over-pressure and a short start have tests of their own.
    { targetKpa: CAP_KPA - psi(1.5), procedureMethod: 'pressure' },
  ).verdict;
}

export type VacuumCondition = keyof typeof VACUUM_CONDITIONS;
export type PressureCondition = keyof typeof PRESSURE_CONDITIONS;

/** Shares of passes and fails over so many simulated tests, in per cent. */
export interface Shares {
  pass: number;
  fail: number;
}

/**
 * @param leak what is lost, as a multiple of what is allowed
 * @param division of the gauge, inHg
 */
export function vacuumShares(
  condition: VacuumCondition,
  leak: number,
  division: number,
  runs: number,
  random: () => number,
): Shares {
  return sharesOf(runs, () => vacuumVerdict(VACUUM_CONDITIONS[condition], leak, division, random));
}

/** @param division of the gauge, psi */
export function pressureShares(
  condition: PressureCondition,
  leak: number,
  division: number,
  runs: number,
  random: () => number,
): Shares {
  return sharesOf(runs, () => pressureVerdict(PRESSURE_CONDITIONS[condition], leak, division, random));
}

function sharesOf(runs: number, verdict: () => string | null): Shares {
  const counts: Record<string, number> = { pass: 0, fail: 0, inconclusive: 0 };
  for (let run = 0; run < runs; run++) {
    const found = verdict() ?? 'inconclusive';
    counts[found] = (counts[found] ?? 0) + 1;
  }
  return { pass: (100 * (counts.pass ?? 0)) / runs, fail: (100 * (counts.fail ?? 0)) / runs };
}
