import { instantOf } from './calendar.js';
import { DISTRICT, type Every, PLANS, type WorkKey } from './district.js';
import { opensCircuit, countersAt, type PostedReport, recheckOf, reportOf } from './jobs.js';
import { randomFrom } from './random.js';
import type { History, PostedReading, PostedUsage } from './posted.js';
import { storyOf } from './stories.js';
import { ranBy, type Vehicle, weekdayOf, workdayUpTo, YEAR } from './vehicles.js';

/** How far back the records go. Of earlier work, only what intervals still count from is known. */
const RECORDED_DAYS = Math.round(2 * YEAR);

/**
 * How much of each interval is used up today. This decides which lines are in which state, on any
 * day.
 */
type Used = Partial<Record<WorkKey, number>>;

export function historyOf(vehicles: Vehicle[], today: number): History {
  const used = usedToday(vehicles);
  const history: History = { usage: [], reports: [], readings: [] };
  for (const vehicle of vehicles) {
    history.usage.push(...usageOf(vehicle, today));
    const visits = visitsOf(vehicle, used.get(vehicle.unitNumber) ?? {}, today);
    const story = storyOf(vehicle, today);
    const reports = [...visits.values()]
      .map(({ day, works }) => ({ day, works: works.filter((work) => !story.replaces(day, work)) }))
      .filter(({ works }) => works.length > 0)
      .flatMap(({ day, works }) => withRecheck(vehicle, day, works, today));
    history.reports.push(
      ...[...reports, ...story.reports].sort((a, b) => Date.parse(a.performedAt) - Date.parse(b.performedAt)),
    );
    history.readings.push(...(vehicle.story === null ? topUpsOf(vehicle, today) : []), ...story.readings);
    history.usage.push(...story.usage);
  }
  return history;
}

const LATE = [1.1, 1.16, 1.12, 1.2] as const;
const DUE = [1.007, 1.01, 1.008, 1.012, 1.014] as const;
const WINDOW = [0.95, 0.96, 0.975, 0.955, 0.98, 0.965, 0.985, 0.95, 0.97] as const;

/**
 * Decides how much of each interval is used up: a few lines late, a few due, some in their window,
 * the rest anywhere before. Leaves out vehicles with a story and vehicles that stand still.
 */
function usedToday(vehicles: Vehicle[]): Map<string, Used> {
  const dealing = randomFrom(DISTRICT.name);
  const used = new Map<string, Used>(vehicles.map(({ unitNumber }) => [unitNumber, {}]));
  const plain = vehicles.filter(
    ({ story, isSecondHand, parkedFrom }) => story === null && !isSecondHand && parkedFrom === null,
  );
  const pressing: [WorkKey, readonly number[]][] = [
    ['yearly', [...LATE, ...DUE, ...WINDOW]],
    ['coolant', [1.11, 1.01, 1.008, 0.975, 0.98, 0.985]],
    ['belts', [1.01, 0.975, 0.98]],
    ['pump', [1.006, 0.985]],
  ];
  for (const [work, shares] of pressing) {
    // Only a vehicle that is old enough can have used up that much.
    const able = dealing.shuffled(plain).filter((vehicle) => firstShare(vehicle, work) > 1.3);
    for (const [index, share] of shares.entries()) {
      const own = used.get(able[index]?.unitNumber ?? '');
      if (own) own[work] = share;
    }
  }
  for (const vehicle of vehicles) {
    const own = used.get(vehicle.unitNumber) as Used;
    for (const work of Object.keys(PLANS[vehicle.kind.plan].work) as WorkKey[])
      own[work] ??= vehicle.random.between(0.05, 0.9);
  }
  return used;
}

function limitsOf(vehicle: Vehicle, work: WorkKey): Every {
  const rule = PLANS[vehicle.kind.plan].work[work];
  return { ...rule?.every, ...(vehicle.duty === 'severe' ? rule?.severe : {}) };
}

/** The share of an interval that is used up between two days, by whichever limit comes first. */
function shareBetween(vehicle: Vehicle, { miles, months, hours }: Every, from: number, to: number): number {
  const of = (counter: 'miles' | 'hours', limit: number | undefined): number => {
    const [before, after] = [ranBy(vehicle, counter, from), ranBy(vehicle, counter, to)];
    return limit === undefined || before === null || after === null ? 0 : (after - before) / limit;
  };
  const byTime = months === undefined ? 0 : (to - from) / ((months * YEAR) / 12);
  return Math.max(byTime, of('miles', miles), of('hours', hours));
}

const lastDayOf = ({ firstDay, miles, hours }: Vehicle): number =>
  firstDay + (miles ?? hours ?? []).length - 1;

function firstShare(vehicle: Vehicle, work: WorkKey): number {
  return shareBetween(vehicle, limitsOf(vehicle, work), vehicle.firstDay, lastDayOf(vehicle) + 1);
}

interface Visit {
  day: number;
  works: WorkKey[];
}

/**
 * The days on which work was done, calculated backwards from what is used up today: each earlier
 * interval was nearly used up. Work that falls on the same day is one visit.
 */
function visitsOf(vehicle: Vehicle, used: Used, today: number): Map<number, Visit> {
  const visits = new Map<number, Visit>();
  for (const work of Object.keys(used) as WorkKey[]) {
    for (const day of daysOf(vehicle, work, used[work] ?? 0, today)) {
      const visit = visits.get(day) ?? { day, works: [] };
      visit.works.push(work);
      visits.set(day, visit);
    }
  }
  return visits;
}

function daysOf(vehicle: Vehicle, work: WorkKey, usedShare: number, today: number): number[] {
  // Work on a second-hand vehicle before it was bought is unknown. One of them has had its yearly
  // inspection since.
  if (vehicle.isSecondHand && (work !== 'yearly' || vehicle.kindKey === 'pickup')) return [];
  const limits = limitsOf(vehicle, work);
  const days: number[] = [];
  let share = usedShare;
  for (let until = today; ; share = vehicle.random.between(0.92, 1.06)) {
    // Nothing is done to a vehicle that stands still.
    const latest = Math.min(until, vehicle.parkedFrom ?? until) - 1;
    const day = workdayUpTo(latestDayWith(vehicle, limits, share, latest, until));
    const isRecorded = day >= today - RECORDED_DAYS;
    if (day <= vehicle.firstDay + 30 || (!isRecorded && days.length > 0)) return days;
    days.push(day);
    until = day;
  }
}

/**
 * The latest day, `latest` at most, from which this share of an interval has been used up until
 * `until`. The further back the day, the larger the share.
 */
function latestDayWith(
  vehicle: Vehicle,
  limits: Every,
  share: number,
  latest: number,
  until: number,
): number {
  let [known, beyond] = [vehicle.firstDay, latest + 1];
  while (beyond - known > 1) {
    const middle = Math.floor((known + beyond) / 2);
    if (shareBetween(vehicle, limits, middle, until) >= share) known = middle;
    else beyond = middle;
  }
  return known;
}

/**
 * The report of a visit. If the coolant circuit was opened, also that of the level check some days
 * later.
 */
function withRecheck(vehicle: Vehicle, day: number, works: WorkKey[], today: number): PostedReport[] {
  const report = reportOf(vehicle, day, works);
  if (!opensCircuit(works)) return [report];
  const recheck = recheckOf(vehicle, day, today);
  // For old jobs only the job itself is known; the level was checked when the vehicle next came in.
  return recheck === null || day < today - RECORDED_DAYS ? [report] : [report, recheck];
}

/** A reading every week or two, on the vehicle's own mornings; now and then one is forgotten. */
function usageOf(vehicle: Vehicle, today: number): PostedUsage[] {
  const { unitNumber, kind, random, parkedFrom, newOdometerOn } = vehicle;
  const mornings = random.pick<readonly number[]>([
    [1, 4],
    [2, 5],
    [3, 5],
  ]);
  const readings: PostedUsage[] = [];
  for (let day = Math.max(vehicle.firstDay + 1, today - RECORDED_DAYS); day < today; day++) {
    const isNew = day === newOdometerOn;
    if (!isNew) {
      if (parkedFrom !== null && day > parkedFrom) break;
      const isMorning = kind.readsOften ? mornings.includes(weekdayOf(day)) : mornings[0] === weekdayOf(day);
      if (!isMorning || random.chance(0.06)) continue;
    }
    readings.push({
      unitNumber,
      readAt: instantOf(day, 6, random.whole(20, 58)),
      ...countersAt(vehicle, day),
      ...(isNew ? { odometerReplaced: true } : {}),
      source: kind.source,
    });
  }
  return readings;
}

/**
 * The small top-ups of an ordinary life: a little coolant, at the right strength, once in a long
 * while.
 */
function topUpsOf(vehicle: Vehicle, today: number): PostedReading[] {
  const { random, kind, unitNumber, parkedFrom } = vehicle;
  if (!random.chance(0.45)) return [];
  const day = workdayUpTo((parkedFrom ?? today) - random.whole(20, 500));
  if (day <= vehicle.firstDay + 30) return [];
  return [
    {
      unitNumber,
      body: {
        kind: 'top-up',
        takenAt: instantOf(day, 6, random.whole(5, 18)),
        ...countersAt(vehicle, day),
        added: { value: Math.round(kind.capacityL * random.between(0.01, 0.025) * 10) / 10, unit: 'L' },
        toMark: true,
        strengthPercent: 50,
        base: 'ethylene-glycol',
        technology: kind.technology,
        planned: false,
      },
    },
  ];
}
