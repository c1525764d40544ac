import { monthOf } from '../src/domain/calendar/civil-date.js';
import { type DepotKey, type Kind, type KindKey, KINDS } from './district.js';
import { type Random, randomFrom } from './random.js';

/** A story that one vehicle shows, beyond its ordinary history. */
export type Story =
  | 'repeat-top-ups'
  | 'unrecorded-water'
  | 'early-return'
  | 'released-with-failed-test'
  | 'held-reading'
  | 'torque-missed'
  | 'electric-bus'
  | 'hybrid-losing-coolant'
  | 'reports-by-itself';

/**
 * A vehicle of the district, with its counters at the end of every day up to yesterday. Days are
 * counted from 1 January 1970.
 */
export interface Vehicle {
  unitNumber: string;
  kindKey: KindKey;
  kind: Kind;
  depot: DepotKey;
  duty: 'normal' | 'severe';
  modelYear: number;
  firstDay: number;
  /** Bought second-hand: nothing is known from before, so it has no in-service date. */
  isSecondHand: boolean;
  /** The day from which it stands still. */
  parkedFrom: number | null;
  status: 'in-use' | 'laid-up' | 'disposed';
  /** The day on which it gets a new odometer, in the morning. */
  newOdometerOn: number | null;
  story: Story | null;
  /** Of a machine that reports by itself: the number by which it is recognised. */
  serialNumber: string | null;
  random: Random;
  /** Counter at the end of day `firstDay + index`; null when the vehicle has no such counter. */
  miles: Float64Array | null;
  hours: Float64Array | null;
}

type Special = Partial<
  Pick<Vehicle, 'isSecondHand' | 'status' | 'story' | 'depot' | 'duty' | 'serialNumber'>
> & {
  parkedDays?: number;
  odometerDays?: number;
  ageDays?: number;
};

const SPECIAL: Record<string, Special> = {
  'PU-104': { parkedDays: 96 },
  'PU-107': { story: 'repeat-top-ups', depot: 'pass', duty: 'severe' },
  'PU-112': { story: 'early-return', depot: 'plateau' },
  'PU-119': { odometerDays: 310 },
  'PU-121': { isSecondHand: true, ageDays: 420 },
  'PU-122': { ageDays: 250 },
  'CV-204': { story: 'unrecorded-water', depot: 'plateau' },
  'CV-206': { story: 'held-reading' },
  'CV-212': { ageDays: 190 },
  'DT-303': { story: 'repeat-top-ups', depot: 'plateau' },
  'DT-308': { story: 'torque-missed', depot: 'harbor' },
  'DT-309': { parkedDays: 74 },
  'DT-311': { isSecondHand: true, ageDays: 380 },
  'SW-402': { story: 'released-with-failed-test', depot: 'harbor' },
  'SW-407': { parkedDays: 45, status: 'disposed' },
  'MG-503': { serialNumber: 'M60-2203' },
  'MG-506': { parkedDays: 140, status: 'laid-up' },
  'EB-601': { story: 'electric-bus', depot: 'harbor', duty: 'normal', ageDays: 1_300 },
  'HT-701': { story: 'hybrid-losing-coolant', depot: 'harbor', duty: 'normal', ageDays: 1_050 },
  'WL-801': { story: 'reports-by-itself', depot: 'pass', serialNumber: 'M40-0817', ageDays: 1_400 },
};

const HUNDREDS: Record<KindKey, number> = {
  pickup: 100,
  van: 200,
  'dump-truck': 300,
  sweeper: 400,
  grader: 500,
  bus: 600,
  hybrid: 700,
  loader: 800,
};

export const YEAR = 365.25;

/** Monday is 1, Sunday 7. 1 January 1970 was a Thursday. */
export const weekdayOf = (day: number): number => ((day + 3) % 7) + 1;

export const isWorkday = (day: number): boolean => weekdayOf(day) <= 5;

/** The last working day up to and including a day. */
export function workdayUpTo(day: number): number {
  let found = day;
  while (!isWorkday(found)) found--;
  return found;
}

/** The last Friday before a day. */
export function fridayBefore(day: number): number {
  let found = day - 1;
  while (weekdayOf(found) !== 5) found--;
  return found;
}

/** All vehicles of the district as of a day; always the same for the same day. */
export function vehiclesAsOf(today: number): Vehicle[] {
  return (Object.keys(KINDS) as KindKey[]).flatMap((kindKey) =>
    Array.from({ length: KINDS[kindKey].count }, (_, index) => {
      const number = HUNDREDS[kindKey] + index + 1;
      return vehicleOf(`${KINDS[kindKey].prefix}-${number}`, kindKey, today);
    }),
  );
}

function vehicleOf(unitNumber: string, kindKey: KindKey, today: number): Vehicle {
  const random = randomFrom(unitNumber);
  const special = SPECIAL[unitNumber] ?? {};
  const kind = KINDS[kindKey];
  const depot = special.depot ?? random.pick(['harbor', 'pass', 'plateau']);
  const duty = special.duty ?? (random.chance(depot === 'harbor' ? 0.15 : 0.35) ? 'severe' : 'normal');
  const firstDay = today - (special.ageDays ?? Math.round(random.between(2.3, 8.2) * YEAR));
  const vehicle: Vehicle = {
    ...{ unitNumber, kindKey, kind, depot, duty, firstDay, random },
    modelYear: Math.floor(1970 + firstDay / YEAR) - (special.isSecondHand ? 5 : 0),
    isSecondHand: special.isSecondHand ?? false,
    parkedFrom: special.parkedDays === undefined ? null : today - special.parkedDays,
    status: special.status ?? 'in-use',
    newOdometerOn: special.odometerDays === undefined ? null : workdayUpTo(today - special.odometerDays),
    story: special.story ?? null,
    serialNumber: special.serialNumber ?? null,
    miles: null,
    hours: null,
  };
  const { miles, hours } = runOf(vehicle, today);
  return { ...vehicle, miles, hours };
}

/**
 * Daily usage: working days, the season, a Saturday now and then. Both counters of a vehicle run on
 * the same days.
 */
function runOf(
  { kind, firstDay, parkedFrom, isSecondHand, random }: Vehicle,
  today: number,
): Pick<Vehicle, 'miles' | 'hours'> {
  const usual = ({ least, most }: { least: number; most: number }) => random.between(least, most);
  const milesADay = kind.miles && usual(kind.miles);
  const hoursADay = kind.hours && usual(kind.hours);
  const days = today - firstDay;
  const miles = milesADay === null ? null : new Float64Array(days);
  const hours = hoursADay === null ? null : new Float64Array(days);
  const start = isSecondHand ? random.whole(400, 700) : 0;
  let ranMiles = start * (milesADay ?? 0) + 12;
  let ranHours = start * (hoursADay ?? 0) + 2;
  for (let index = 0; index < days; index++) {
    const day = firstDay + index;
    const works = isWorkday(day) ? !random.chance(0.05) : weekdayOf(day) === 6 && random.chance(0.06);
    const season = kind.season[monthOf(day).month - 1] ?? 1;
    const share = works && (parkedFrom === null || day < parkedFrom) ? season * random.around(1, 0.2) : 0;
    ranMiles += share * (milesADay ?? 0);
    ranHours += share * (hoursADay ?? 0) * random.between(0.9, 1.1);
    if (miles) miles[index] = ranMiles;
    if (hours) hours[index] = ranHours;
  }
  return { miles, hours };
}

/** Counter at the end of a day; before the first day, its value when the vehicle arrived. */
export function ranBy(vehicle: Vehicle, counter: 'miles' | 'hours', day: number): number | null {
  const ran = vehicle[counter];
  if (ran === null) return null;
  const index = Math.min(day - vehicle.firstDay, ran.length - 1);
  return ran[Math.max(index, 0)] ?? 0;
}

/**
 * What the counters show on the morning of a day, after the share `dayShare` of that day's usage.
 */
export function shownOn(
  vehicle: Vehicle,
  day: number,
  dayShare = 0,
): { odometer: number | null; engineHours: number | null } {
  const at = (counter: 'miles' | 'hours'): number | null => {
    const before = ranBy(vehicle, counter, day - 1);
    const after = ranBy(vehicle, counter, day);
    return before === null || after === null ? null : before + dayShare * (after - before);
  };
  const miles = at('miles');
  const hours = at('hours');
  const { newOdometerOn } = vehicle;
  const offset =
    newOdometerOn !== null && day >= newOdometerOn
      ? (ranBy(vehicle, 'miles', newOdometerOn - 1) ?? 0) - 3
      : 0;
  return {
    odometer: miles === null ? null : Math.floor(miles - offset),
    engineHours: hours === null ? null : Math.floor(hours * 10) / 10,
  };
}
