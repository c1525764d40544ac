import { epochDayOf, monthOf } from '../../../src/domain/calendar/civil-date.js';
import { nthDayInUse } from '../../../src/domain/usage/days-in-use.js';
import type { UsageDay } from '../../../src/domain/usage/types.js';

/** Seeded uniform random numbers (mulberry32): the same simulation on every run. */
export function seeded(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export interface UsageModel {
  /** Coefficient of variation of the log-normal distance of a working day. */
  variation: number;
  /** Days between readings. */
  everyDays: number;
  /** Share of readings that are missing. */
  missing: number;
  /** Share of whole weeks without a reading. */
  missingWeeks?: number;
  /** Half of the vehicles were last read up to so many days ago: they upload late. */
  lateDays?: number;
  /** The rate was multiplied by this so many days before the last day. */
  change?: { factor: number; daysAgo: number };
  /** The rate swings over the year by this share. */
  swing?: number;
  /** Only used in these months; today is a day of them. */
  inUseMonths?: readonly number[];
  /** Days of history. */
  history: number;
}

export interface SimulatedUsage {
  days: UsageDay[];
  /** The last reading: days since 1970-01-01, and km. */
  last: { epochDay: number; km: number };
  limitKm: number;
  /** When the limit is reached in truth, and when by one who knows the true rate and cannot know the days to come. */
  reachedOn: number;
  oracleOn: number;
}

const WORKING_DAY_KM = 100;
const WORKING_DAYS = 5;
const AHEAD_DAYS = 60;
const MS_PER_DAY = 86_400_000;

/** Usage of one vehicle, day by day: five working days of seven, log-normal distances; and a limit 60 days (in use) of true use ahead. */
export function simulate(model: UsageModel, random: () => number): SimulatedUsage {
  const { change, swing = 0, inUseMonths = null, missingWeeks = 0, lateDays = 0 } = model;
  const sigma = Math.sqrt(Math.log(1 + model.variation ** 2));
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const isInUse = (day: number) => inUseMonths === null || inUseMonths.includes(monthOf(day).month);
  let today = epochDayOf('2025-01-01') + Math.floor(random() * 365);
  while (!isInUse(today)) today++;
  const [phase, yearPhase] = [Math.floor(random() * 7), random() * 365];
  const factorOn = (day: number) =>
    (change !== undefined && day > today - change.daysAgo ? change.factor : 1) *
    (1 + swing * Math.sin((2 * Math.PI * (day + yearPhase)) / 365));

  const kmOn = new Map<number, number>();
  let km = 20_000;
  for (let day = today - model.history; day <= today + 700; day++) {
    const isWorking = (day + phase) % 7 < WORKING_DAYS && isInUse(day);
    if (isWorking) km += WORKING_DAY_KM * Math.exp(sigma * normal() - sigma ** 2 / 2) * factorOn(day);
    kmOn.set(day, km);
  }

  const readUpTo = today - (random() < 0.5 ? Math.floor(random() * (lateDays + 1)) : 0);
  const readingPhase = Math.floor(random() * model.everyDays);
  const unreadWeeks = new Set([...kmOn.keys()].filter((day) => day % 7 === 0 && random() < missingWeeks));
  const readOn = [...kmOn.keys()].filter(
    (day) =>
      day <= readUpTo &&
      (day + readingPhase) % model.everyDays === 0 &&
      !unreadWeeks.has(day - (day % 7)) &&
      random() >= model.missing,
  );
  const lastDay = readOn.at(-1)!;
  const ahead = nthDayInUse(lastDay, AHEAD_DAYS, inUseMonths);
  let factor = 0;
  for (let day = lastDay + 1; day <= ahead; day++) factor += isInUse(day) ? factorOn(day) / AHEAD_DAYS : 0;
  const limitKm = kmOn.get(lastDay)! + ((AHEAD_DAYS * WORKING_DAY_KM * WORKING_DAYS) / 7) * factor;
  let reachedOn = lastDay;
  while (kmOn.get(reachedOn)! < limitKm) reachedOn++;
  return {
    days: readOn.map((day) => ({ epochDay: day, at: day * MS_PER_DAY, value: kmOn.get(day)! })),
    last: { epochDay: lastDay, km: kmOn.get(lastDay)! },
    limitKm,
    reachedOn,
    oracleOn: ahead,
  };
}
