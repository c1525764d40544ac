import { instantOf } from './calendar.js';
import { DEPOTS, type Kind, linesOf, type WorkKey } from './district.js';
import { shownOn, type Vehicle, workdayUpTo } from './vehicles.js';

/** A job report as it is posted, but for the vehicle's id, which only the service knows. */
export interface PostedReport {
  unitNumber: string;
  performedAt: string;
  performedBy: string;
  lines: Record<string, unknown>[];
  readings: Record<string, unknown>[];
  [field: string]: unknown;
}

const MECHANICS = ['badge 9', 'badge 31', 'badge 14', 'badge 17', 'badge 22'] as const;

const litres = (value: number): object => ({ value: Math.round(value * 10) / 10, unit: 'L' });
const inHg = (value: number): object => ({ value: Math.round(value * 10) / 10, unit: 'inHg' });

/** Whether a visit opens the coolant circuit. */
export function opensCircuit(works: readonly WorkKey[]): boolean {
  return works.some((work) => work === 'coolant' || work === 'pump');
}

/** The report of a visit on a day, with the readings that go with the work. */
export function reportOf(vehicle: Vehicle, day: number, works: readonly WorkKey[]): PostedReport {
  const { unitNumber, kind, random } = vehicle;
  const opened = opensCircuit(works);
  const lines = works
    .flatMap((work) => linesOf(work, kind))
    .map((line) => ({ ...line, ...partOf(line, kind, day) }));
  const withCoolant = lines.some(({ component, action }) => component === 'coolant' && action === 'replace');
  const hour = random.whole(9, 14);
  return {
    unitNumber,
    performedAt: instantOf(day, hour, random.whole(0, 59)),
    performedBy: random.pick(MECHANICS),
    ...countersAt(vehicle, day, 0.15),
    releasedForService: 'yes',
    lines: opened && !withCoolant ? [...lines, coolantLine(kind, day)] : lines,
    readings: [
      ...(opened ? coolantReadings(vehicle) : []),
      ...(works.includes('pump') ? [torqueSetOf(kind)] : []),
      ...(works.includes('yearly') && !opened ? yearlyReadings(vehicle) : []),
      ...(works.includes('yearly') || works.includes('belts')
        ? beltChecks(vehicle, works.includes('belts'))
        : []),
    ],
  };
}

/**
 * What the counters show on a day, as it is posted; early in the morning unless part of the day's
 * run has gone by.
 */
export function countersAt(vehicle: Vehicle, day: number, dayShare = 0): Record<string, unknown> {
  const { odometer, engineHours } = shownOn(vehicle, day, dayShare);
  return {
    ...(odometer === null ? {} : { odometer: { value: odometer, unit: 'mi' } }),
    ...(engineHours === null ? {} : { engineHours: { value: engineHours, unit: 'h' } }),
  };
}

const PART_NUMBERS: Record<string, string> = {
  'water-pump': 'WP-21',
  thermostat: 'TH-08',
  'drive-belt': 'DB-14',
};

/** Part number and lot of what was put in. A lot is a year and a quarter's delivery. */
function partOf(line: { component: string; action: string }, kind: Kind, day: number): object {
  const number = PART_NUMBERS[line.component];
  if (line.action !== 'replace') return {};
  if (line.component === 'coolant') return { partNumber: `OC-${kind.technology}-50`, lot: lotOf(day, 'C') };
  return number ? { partNumber: `${kind.partPrefix}-${number}`, lot: lotOf(day, kind.partPrefix) } : {};
}

export function lotOf(day: number, prefix: string): string {
  const year = 1970 + day / 365.25;
  return `${prefix}${String(Math.floor(year)).slice(2)}-${Math.floor((year % 1) * 4) + 1}`;
}

export function coolantLine(kind: Kind, day: number): Record<string, unknown> {
  const line = { component: 'coolant', action: 'replace' };
  return { ...line, ...partOf(line, kind, day) };
}

/** A drained system held under vacuum, filled, warmed up. */
export function coolantReadings(
  { kind, depot, random }: Vehicle,
  holdLossInHg = random.between(0, 0.3),
): Record<string, unknown>[] {
  const start = DEPOTS[depot].holdInHg + random.between(0, 0.4);
  const drained = kind.drainableL * random.between(0.96, 1);
  return [
    {
      kind: 'hold-test',
      method: 'vacuum',
      start: inHg(start),
      end: inHg(start - holdLossInHg),
      minutes: 5,
      gaugeResolution: inHg(0.1),
      engineCold: true,
      wet: false,
    },
    {
      kind: 'fill',
      drained: litres(drained),
      cameInLow: false,
      added: litres(drained - random.between(0, 0.3)),
      strengthPercent: 50,
      base: 'ethylene-glycol',
      technology: kind.technology,
      product: `Ostler ${kind.technology} premix`,
    },
    {
      kind: 'warm-up-check',
      heatAtVents: true,
      fanCycled: kind.hasFanDrive ? null : true,
      thermostatOpened: true,
      temperatureSteady: true,
      leakSeen: false,
      levelAfterCooling: 'at-mark',
    },
  ];
}

/** A filled, cold system pumped up and left for five minutes. */
export function pressureTestOf(startPsi: number, endPsi: number): Record<string, unknown> {
  const cold = { value: 64, unit: 'F' };
  return {
    ...{ kind: 'hold-test', method: 'pressure', minutes: 5, wet: true },
    ...{ start: { value: startPsi, unit: 'psi' }, end: { value: endPsi, unit: 'psi' } },
    gaugeResolution: { value: 0.1, unit: 'psi' },
    ...{ startTemperature: cold, endTemperature: cold },
  };
}

export function torqueSetOf(kind: Kind, fastened = kind.pumpFasteners.count): Record<string, unknown> {
  return {
    kind: 'torque-set',
    fastener: 'pump-to-block',
    unit: 'N.m',
    setTo: kind.pumpFasteners.torqueNm,
    count: fastened,
    source: 'setting',
  };
}

/** A refractometer on coolant of 50 % shows about −34 °F (ASHRAE: −36.8 °C), to a degree or so. */
export function freezePointOf(value: number): Record<string, unknown> {
  return {
    kind: 'freeze-point',
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'refractometer',
    value: { value: Math.round(value), unit: 'F' },
  };
}

export function levelCheckOf(belowMarkL: number): Record<string, unknown> {
  return { kind: 'level-check', belowMark: litres(Math.max(0, belowMarkL)), engineCold: true };
}

function yearlyReadings({ kind, random }: Vehicle): Record<string, unknown>[] {
  return [levelCheckOf(kind.capacityL * random.between(0, 0.012)), freezePointOf(random.around(-34, 0.7))];
}

function beltChecks({ kind, random }: Vehicle, isNew: boolean): Record<string, unknown>[] {
  return kind.belts.map(({ name }) => ({
    kind: 'belt-check',
    item: name,
    ribsSeated: true,
    offset: { value: Math.round(random.between(0.1, 0.8) * 10) / 10, unit: 'mm' },
    span: { value: 240, unit: 'mm' },
    wearGauge: 'ok',
    ...(isNew ? { tensionerInRange: true } : {}),
  }));
}

/**
 * The look at the cold level some days after the coolant was opened: the third day, or the Friday
 * before a weekend; of a Friday's job the Monday. Null while that is to come.
 */
export function recheckOf(vehicle: Vehicle, jobDay: number, today: number): PostedReport | null {
  const { kind, random } = vehicle;
  const day = workdayUpTo(jobDay + 3);
  if (day >= today) return null;
  return {
    unitNumber: vehicle.unitNumber,
    performedAt: instantOf(day, 6, random.whole(2, 18)),
    performedBy: random.pick(MECHANICS),
    ...countersAt(vehicle, day),
    releasedForService: 'yes',
    lines: [{ component: 'coolant', action: 'recheck' }],
    readings: [levelCheckOf(kind.capacityL * random.between(0, 0.01))],
  };
}
