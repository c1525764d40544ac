import type { Component } from '../src/domain/intervals/types.js';
import type { Quantity, Unit } from '../src/domain/quantities/units.js';
import type { UsageSource } from '../src/domain/usage/types.js';
import {
  BUS_CIRCUITS,
  BUS_INTERVALS,
  type Circuit,
  type CircuitInterval,
  HYBRID_CIRCUITS,
  INVERTER_INTERVALS,
} from './circuits.js';

/** An invented public-works district. Every name, make, lot and part number in it is made up. */
export const DISTRICT = {
  name: 'Ostler Sound Public Works (demonstration)',
  timeZone: 'America/Los_Angeles',
  units: 'us',
} as const;

const of = (value: number, unit: Unit): Quantity => ({ value, unit });

export type DepotKey = 'harbor' | 'pass' | 'plateau';

interface Depot {
  /**
   * The vacuum pulled at a hold test there, in inHg. It may be above the sheets' 23 inHg, as far as
   * the thinner air allows.
   */
  holdInHg: number;
  posted: {
    name: string;
    elevation: Quantity;
    designLowTemperature: Quantity;
    labourHoursPerDay: number;
  };
}

export const DEPOTS: Record<DepotKey, Depot> = {
  harbor: {
    holdInHg: 24,
    posted: {
      name: 'Harbor Yard',
      elevation: of(20, 'ft'),
      designLowTemperature: of(16, 'F'),
      labourHoursPerDay: 24,
    },
  },
  pass: {
    holdInHg: 19.6,
    posted: {
      name: 'Summit Yard',
      elevation: of(1600, 'm'),
      designLowTemperature: of(-8, 'F'),
      labourHoursPerDay: 16,
    },
  },
  plateau: {
    holdInHg: 22,
    posted: {
      name: 'Cold Prairie Yard',
      elevation: of(2250, 'ft'),
      designLowTemperature: of(-22, 'F'),
      labourHoursPerDay: 16,
    },
  },
};

/** The limits of an interval: US miles, calendar months, engine hours. */
export interface Every {
  miles?: number;
  months?: number;
  hours?: number;
}

/** Kinds of work. Work of one kind comes due together and is done at one visit. */
export type WorkKey = 'yearly' | 'coolant' | 'belts' | 'pump';

interface Work {
  every: Every;
  severe?: Every;
  /** A longer first interval, as with long-life coolant. */
  first?: Every;
}

export type PlanKey = 'light' | 'heavy' | 'off-road' | 'bus' | 'hybrid';

export interface Plan {
  name: string;
  work: Partial<Record<WorkKey, Work>>;
  /** Work in circuits of their own, beside that of the kind. */
  inCircuits?: CircuitInterval[];
}

const HEAVY_WORK: Plan['work'] = {
  yearly: {
    every: { miles: 12_000, months: 12, hours: 1_000 },
    severe: { miles: 9_000, months: 9, hours: 750 },
  },
  coolant: { every: { months: 36, hours: 3_000 }, severe: { months: 30, hours: 2_500 } },
  belts: { every: { months: 48, hours: 2_500 }, severe: { months: 36, hours: 2_000 } },
  pump: { every: { months: 84, hours: 6_000 }, severe: { months: 72, hours: 5_000 } },
};

export const PLANS: Record<PlanKey, Plan> = {
  light: {
    name: 'Pickups and vans',
    work: {
      yearly: { every: { miles: 15_000, months: 12 }, severe: { miles: 10_000, months: 9 } },
      coolant: {
        every: { miles: 60_000, months: 48 },
        severe: { miles: 40_000, months: 36 },
        first: { miles: 100_000, months: 60 },
      },
      belts: { every: { miles: 75_000, months: 72 }, severe: { miles: 50_000, months: 60 } },
      pump: { every: { miles: 100_000, months: 96 }, severe: { miles: 60_000, months: 72 } },
    },
  },
  heavy: { name: 'Dump trucks', work: HEAVY_WORK },
  'off-road': {
    name: 'Sweepers, graders and loaders',
    work: {
      yearly: { every: { months: 12, hours: 1_000 }, severe: { months: 12, hours: 750 } },
      coolant: { every: { months: 36, hours: 3_000 }, severe: { months: 30, hours: 2_500 } },
      belts: { every: { months: 48, hours: 2_000 } },
      pump: { every: { months: 72, hours: 5_000 } },
    },
  },
  bus: { name: 'Electric buses', work: {}, inCircuits: BUS_INTERVALS },
  hybrid: { name: 'Hybrid trucks', work: HEAVY_WORK, inCircuits: INVERTER_INTERVALS },
};

export type KindKey = 'pickup' | 'van' | 'dump-truck' | 'sweeper' | 'grader' | 'bus' | 'hybrid' | 'loader';

/** A kind of vehicle, with what its spec sheet says. */
export interface Kind {
  prefix: string;
  make: string;
  model: string;
  count: number;
  plan: PlanKey;
  /** Miles on a working day; null when the vehicle has no odometer. */
  miles: { least: number; most: number } | null;
  hours: { least: number; most: number } | null;
  /** How much it works in each month, starting with January. */
  season: readonly number[];
  source: UsageSource;
  /** Whether it is read twice a week. */
  readsOften: boolean;
  sheetName: string;
  capacityL: number;
  drainableL: number;
  capPsi: number;
  technology: Circuit['technology'];
  /** Only if the first circuit is another than the engine's. */
  firstCircuit?: Circuit;
  otherCircuits?: readonly Circuit[];
  pumpFasteners: { count: number; torqueNm: number };
  belts: { name: string; designation: string }[];
  hasFanDrive: boolean;
  partPrefix: string;
}

const ALL_YEAR = [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1] as const;

export const KINDS: Record<KindKey, Kind> = {
  pickup: {
    prefix: 'PU',
    make: 'Torvane',
    model: 'T-15',
    count: 22,
    plan: 'light',
    miles: { least: 34, most: 62 },
    hours: null,
    season: ALL_YEAR,
    source: 'fuel-card',
    readsOften: false,
    sheetName: 'Torvane 3.7 petrol',
    capacityL: 12,
    drainableL: 8.5,
    capPsi: 16,
    technology: 'OAT',
    pumpFasteners: { count: 9, torqueNm: 11 },
    belts: [{ name: 'accessory', designation: '6PK1880' }],
    hasFanDrive: false,
    partPrefix: 'TV',
  },
  van: {
    prefix: 'CV',
    make: 'Quillon',
    model: 'Q-8 crew van',
    count: 12,
    plan: 'light',
    miles: { least: 40, most: 75 },
    hours: null,
    season: ALL_YEAR,
    source: 'telematics',
    readsOften: true,
    sheetName: 'Quillon 2.4 diesel',
    capacityL: 11,
    drainableL: 8,
    capPsi: 20,
    technology: 'OAT',
    pumpFasteners: { count: 7, torqueNm: 24 },
    belts: [{ name: 'accessory', designation: '7PK2035' }],
    hasFanDrive: false,
    partPrefix: 'QN',
  },
  'dump-truck': {
    prefix: 'DT',
    make: 'Kelldrum',
    model: 'K-33 tipper',
    count: 12,
    plan: 'heavy',
    miles: { least: 38, most: 60 },
    hours: { least: 3.5, most: 6 },
    season: [1.1, 1.1, 0.9, 0.9, 1, 1.1, 1.1, 1.1, 1, 0.9, 0.9, 1.1],
    source: 'dash',
    readsOften: false,
    sheetName: 'Kelldrum 9.4 diesel',
    capacityL: 36,
    drainableL: 28,
    capPsi: 15,
    technology: 'HOAT',
    pumpFasteners: { count: 12, torqueNm: 10 },
    belts: [
      { name: 'fan', designation: '8PK1420' },
      { name: 'alternator', designation: '6PK1165' },
    ],
    hasFanDrive: true,
    partPrefix: 'KD',
  },
  sweeper: {
    prefix: 'SW',
    make: 'Hexby',
    model: 'H-9 street sweeper',
    count: 7,
    plan: 'off-road',
    miles: { least: 12, most: 24 },
    hours: { least: 4, most: 7 },
    season: [0.6, 0.6, 0.9, 1.2, 1.2, 1.1, 1, 1, 1.1, 1.3, 1.2, 0.7],
    source: 'dash',
    readsOften: false,
    sheetName: 'Hexby 4.5 diesel',
    capacityL: 19,
    drainableL: 14.5,
    capPsi: 13,
    technology: 'NOAT',
    pumpFasteners: { count: 8, torqueNm: 22 },
    belts: [{ name: 'fan', designation: '8PK1310' }],
    hasFanDrive: true,
    partPrefix: 'HX',
  },
  grader: {
    prefix: 'MG',
    make: 'Marrowby',
    model: 'M-60 grader',
    count: 7,
    plan: 'off-road',
    miles: null,
    hours: { least: 3.5, most: 6.5 },
    season: [1.3, 1.2, 1, 0.8, 0.9, 1, 1, 1, 0.9, 0.8, 1, 1.3],
    source: 'dash',
    readsOften: false,
    sheetName: 'Marrowby 8.1 diesel',
    capacityL: 42,
    drainableL: 33,
    capPsi: 13,
    technology: 'NOAT',
    pumpFasteners: { count: 10, torqueNm: 25 },
    belts: [{ name: 'fan', designation: '10PK1750' }],
    hasFanDrive: true,
    partPrefix: 'MB',
  },
  bus: {
    prefix: 'EB',
    make: 'Sarnwick',
    model: 'S-12 electric bus',
    count: 1,
    plan: 'bus',
    miles: { least: 90, most: 120 },
    hours: null,
    season: ALL_YEAR,
    source: 'telematics',
    readsOften: true,
    sheetName: 'Sarnwick S-12 electric',
    ...BUS_CIRCUITS[0],
    firstCircuit: BUS_CIRCUITS[0],
    otherCircuits: BUS_CIRCUITS.slice(1),
    pumpFasteners: { count: 3, torqueNm: 9 },
    belts: [],
    hasFanDrive: false,
    partPrefix: 'SK',
  },
  hybrid: {
    prefix: 'HT',
    make: 'Kelldrum',
    model: 'K-26 hybrid truck',
    count: 1,
    plan: 'hybrid',
    miles: { least: 40, most: 55 },
    hours: { least: 3, most: 4.5 },
    season: ALL_YEAR,
    source: 'dash',
    readsOften: false,
    sheetName: 'Kelldrum 6.2 diesel hybrid',
    capacityL: 27,
    drainableL: 21,
    capPsi: 15,
    technology: 'HOAT',
    otherCircuits: HYBRID_CIRCUITS,
    pumpFasteners: { count: 9, torqueNm: 10 },
    belts: [{ name: 'accessory', designation: '8PK1540' }],
    hasFanDrive: false,
    partPrefix: 'KH',
  },
  loader: {
    prefix: 'WL',
    make: 'Marrowby',
    model: 'M-40 loader',
    count: 1,
    plan: 'off-road',
    miles: null,
    hours: { least: 3, most: 5 },
    season: ALL_YEAR,
    source: 'telematics',
    readsOften: true,
    sheetName: 'Marrowby 5.4 diesel',
    capacityL: 30,
    drainableL: 24,
    capPsi: 13,
    technology: 'NOAT',
    pumpFasteners: { count: 8, torqueNm: 25 },
    belts: [{ name: 'fan', designation: '8PK1490' }],
    hasFanDrive: true,
    partPrefix: 'ML',
  },
};

type Coolant = Pick<Circuit, 'technology' | 'capacityL' | 'drainableL' | 'capPsi'> & {
  conductivityMax?: number | null;
};

const coolantOf = ({
  technology,
  capacityL,
  drainableL,
  capPsi,
  conductivityMax = null,
}: Coolant): object => ({
  base: 'ethylene-glycol',
  technology,
  capacity: of(capacityL, 'L'),
  drainable: of(drainableL, 'L'),
  targetStrengthPercent: 50,
  capRating: of(capPsi, 'psi'),
  ...(conductivityMax === null ? {} : { condition: { conductivityMaxUsPerCm: conductivityMax } }),
});

/** Circuits without an engine are tested by pressure, a little below what their caps hold. */
const pressureTestUpTo = (capPsi: number): object => ({
  method: 'pressure',
  target: of(capPsi - 2, 'psi'),
  minutes: 10,
  allowedLoss: of(0.3, 'psi'),
});

const partsOf = (parts: Circuit['parts'], prefix: string): object[] =>
  parts.map(({ component, description, number }) => ({
    component,
    description,
    quantity: 1,
    partNumber: `${prefix}-${number}`,
  }));

/** The spec sheet of a kind, as a manager would post it. */
export function specSheetOf(kind: Kind): object {
  const { firstCircuit, otherCircuits = [], partPrefix, belts } = kind;
  const parts: Circuit['parts'] = [
    ...(firstCircuit?.parts ?? [
      { component: 'water-pump', description: 'pump with gasket', number: 'WP-21' },
      { component: 'thermostat', description: 'thermostat with seal', number: 'TH-08' },
    ]),
    ...belts.map(({ name }, index) => ({
      component: 'drive-belt' as const,
      description: `${name} belt`,
      number: `DB-${index + 1}4`,
    })),
  ];
  return {
    name: kind.sheetName,
    circuit: firstCircuit?.circuit ?? 'engine',
    coolant: coolantOf(firstCircuit ?? kind),
    holdTest: firstCircuit
      ? pressureTestUpTo(kind.capPsi)
      : { method: 'vacuum', target: of(23, 'inHg'), minutes: 5, allowedLoss: of(1, 'inHg') },
    fasteners: [
      {
        name: firstCircuit ? 'pump-to-bracket' : 'pump-to-block',
        count: kind.pumpFasteners.count,
        component: firstCircuit ? 'electric-coolant-pump' : 'water-pump',
        torque: of(kind.pumpFasteners.torqueNm, 'N.m'),
        tolerancePercent: 10,
      },
    ],
    belts,
    hoses: firstCircuit ? [] : ['upper', 'lower'],
    parts: partsOf(parts, partPrefix),
    otherCircuits: otherCircuits.map((other) => ({
      circuit: other.circuit,
      coolant: coolantOf(other),
      holdTest: pressureTestUpTo(other.capPsi),
      parts: partsOf(other.parts, partPrefix),
    })),
  };
}

/** The work done at a visit, by component, action and, if there are several, item. */
export interface WorkLine {
  component: Component;
  action: 'inspect' | 'test' | 'replace';
  item?: string;
}

export function linesOf(work: WorkKey, kind: Kind): WorkLine[] {
  const belts = (action: 'inspect' | 'replace'): WorkLine[] =>
    kind.belts.length === 1
      ? [{ component: 'drive-belt', action }]
      : kind.belts.map(({ name }) => ({ component: 'drive-belt', action, item: name }));
  switch (work) {
    case 'yearly':
      return [
        { component: 'coolant', action: 'test' },
        { component: 'upper-hose', action: 'inspect' },
        ...belts('inspect'),
        ...(kind.hasFanDrive ? [{ component: 'fan-drive', action: 'inspect' } as const] : []),
      ];
    case 'coolant':
      return [{ component: 'coolant', action: 'replace' }];
    case 'belts':
      return belts('replace');
    case 'pump':
      return [
        { component: 'water-pump', action: 'replace' },
        { component: 'thermostat', action: 'replace' },
      ];
  }
}

const limitsOf = ({ miles, months, hours }: Every): object => ({
  ...(miles === undefined ? {} : { everyDistance: of(miles, 'mi') }),
  ...(months === undefined ? {} : { everyMonths: months }),
  ...(hours === undefined ? {} : { everyEngineHours: of(hours, 'h') }),
});

/** How long before and after the due point: in days, and in the usage that takes about as long. */
const MARGINS = {
  window: { distance: of(1_000, 'mi'), days: 30, engineHours: of(60, 'h') },
  grace: { distance: of(400, 'mi'), days: 14, engineHours: of(25, 'h') },
};

/** An interval plan, as a manager would post it. All kinds on one plan need the same work. */
export function intervalPlanOf(key: PlanKey): object {
  const kind = Object.values(KINDS).find(({ plan }) => plan === key);
  if (!kind) throw new Error(`no kind of vehicle is on the plan ${key}`);
  const { name, work, inCircuits = [] } = PLANS[key];
  const intervals = (Object.entries(work) as [WorkKey, Work][]).flatMap(([what, { every, severe, first }]) =>
    linesOf(what, kind).map((line) => ({
      ...line,
      ...limitsOf(every),
      ...(severe ? { severe: limitsOf(severe) } : {}),
      ...(first ? { first: limitsOf(first) } : {}),
      ...MARGINS,
    })),
  );
  return { name, intervals: [...intervals, ...inCircuits.map((own) => ({ ...own, ...MARGINS }))] };
}
