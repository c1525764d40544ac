import { epochDayOf, monthOf } from '../../../src/domain/calendar/civil-date.js';
import { nthDayInUse } from '../../../src/domain/usage/days-in-use.js';
import type { UsageDay } from '../../../src/domain/usage/types.js';

// Looked up once: a test's globals are slow to reach, and these are asked for millions of times.
const { cos, exp, floor, imul, log, PI, sin, sqrt } = Math;

/** Seeded uniform random numbers (mulberry32): the same simulation on every run. */
export function seeded(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = imul(state ^ (state >>> 15), 1 | state);
    t = (t + imul(t ^ (t >>> 7), 61 | t)) ^ t;
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
  /**
   * When the limit is reached in truth, and when by one who knows the true rate and cannot know the
   * days to come.
   */
  reachedOn: number;
  oracleOn: number;
}

const FIRST_DAY = epochDayOf('2025-01-01');
const WORKING_DAY_KM = 100;
const WORKING_DAYS = 5;
const AHEAD_DAYS = 60;
/** Time enough for a limit to be reached, over a winter's rest. */
const FUTURE_DAYS = 420;
const MS_PER_DAY = 86_400_000;

/**
 * Usage of one vehicle, day by day: five working days of seven, log-normal distances; and a limit
 * 60 days (in use) of true use ahead.
 */
export function simulate(model: UsageModel, random: () => number): SimulatedUsage {
  const { change, swing = 0, inUseMonths = null, missingWeeks = 0, lateDays = 0, history } = model;
  const sigma = sqrt(log(1 + model.variation ** 2));
  const normal = () => sqrt(-2 * log(1 - random())) * cos(2 * PI * random());
  const isInUse = (day: number) => inUseMonths === null || inUseMonths.includes(monthOf(day).month);
  let today = FIRST_DAY + floor(random() * 365);
  while (!isInUse(today)) today++;
  const [phase, yearPhase] = [floor(random() * 7), random() * 365];
  const factorOn = (day: number) => {
    const ofRoute = change !== undefined && day > today - change.daysAgo ? change.factor : 1;
    return swing === 0 ? ofRoute : ofRoute * (1 + swing * sin((2 * PI * (day + yearPhase)) / 365));
  };

  const first = today - history;
  const kmOf: number[] = [];
  let km = 20_000;
  for (let day = first; day <= today + FUTURE_DAYS; day++) {
    if ((day + phase) % 7 < WORKING_DAYS && isInUse(day))
      km += WORKING_DAY_KM * exp(sigma * normal() - sigma ** 2 / 2) * factorOn(day);
    kmOf.push(km);
  }
  const kmOn = (day: number) => kmOf[day - first]!;

  const readUpTo = today - (random() < 0.5 ? floor(random() * (lateDays + 1)) : 0);
  const readingPhase = floor(random() * model.everyDays);
  const days: UsageDay[] = [];
  let isUnread = false;
  for (let day = first; day <= readUpTo; day++) {
    if (day % 7 === 0) isUnread = random() < missingWeeks;
    if (isUnread || (day + readingPhase) % model.everyDays !== 0 || random() < model.missing) continue;
    days.push({ epochDay: day, at: day * MS_PER_DAY, value: kmOn(day) });
  }
  const last = days.at(-1)!;
  const oracleOn = nthDayInUse(last.epochDay, AHEAD_DAYS, inUseMonths);
  let factor = 0;
  for (let day = last.epochDay + 1; day <= oracleOn; day++)
    if (isInUse(day)) factor += factorOn(day) / AHEAD_DAYS;
  const limitKm = last.value + ((AHEAD_DAYS * WORKING_DAY_KM * WORKING_DAYS) / 7) * factor;
  let reachedOn = last.epochDay;
  while (kmOn(reachedOn) < limitKm) reachedOn++;
  return { days, last: { epochDay: last.epochDay, km: last.value }, limitKm, reachedOn, oracleOn };
}
