import { type CivilDate, civilDateOf, epochDayOf } from '../calendar/civil-date.js';
import type { Message } from '../message.js';
import { toldToTenth, toldChange } from '../quantities/told.js';
import { median } from '../statistics/median.js';
import { message } from './messages.js';

/** The hot end of a day: the 95th percentile of its warm values, °C. */
export interface HotEnd {
  day: CivilDate;
  hotC: number;
}

/** Four weeks, each weekday as often as the others. They begin every 28 days since 1970-01-01. */
const BLOCK_DAYS = 28;
/** A block with fewer days says nothing; common practice. */
const LEAST_DAYS = 10;
/** The same weeks of the year before lie this many blocks back: 364 days. */
const YEAR = 13;
/** By simulation (docs/domain.md gives the figures). */
const LEAST_RISE_K = 5;
/**
 * A change of load or of the sensor comes at once; so much of the rise within two blocks is one.
 */
const STEP_SHARE = 0.5;
/** So many blocks in a row must show it. */
const IN_A_ROW = 2;
/** How many days back the finding looks. */
export const CREEP_LOOKS_BACK_DAYS = (YEAR + 1 + IN_A_ROW + 1) * BLOCK_DAYS;

/** Four weeks, and the median of their hot ends; null where too few days were read. */
export interface HotBlock {
  from: CivilDate;
  until: CivilDate;
  days: number;
  hotC: number | null;
}

/** Where the hot end lies now, and where it lay a year before; null where it is not known. */
export interface Creep {
  /** Latest first. */
  blocks: HotBlock[];
  nowC: number | null;
  /** The hottest of the three blocks around the same weeks of the year before. */
  yearBeforeC: number | null;
  /** Null: too little is known. */
  isHotter: boolean | null;
}

/**
 * Whether the coolant runs ever hotter: the hot end of the last four weeks, and of the four before,
 * lies at least 5 K above the same weeks of the year before, and most of that came bit by bit.
 *
 * The same weeks take out the season. What came at once is taken for another load, another route or
 * another sensor. It is evidence for the radiator, the fan or the thermostat and proves nothing:
 * load and weather are not known.
 *
 * @param days in any order
 * @param asOf only whole blocks before it count
 * @example creepOf(twoYearsAtNinetyDegrees, '2026-04-02').isHotter // false
 */
export function creepOf(days: readonly HotEnd[], asOf: CivilDate): Creep {
  const last = Math.floor(epochDayOf(asOf) / BLOCK_DAYS) - 1;
  const blocks = blocksOf(days, last);
  const known = blocks.map(({ hotC }) => hotC);
  const nowC = known[0] ?? null;
  const yearBeforeC = yearBefore(known, 0);
  return { blocks, nowC, yearBeforeC, isHotter: isHotter(known) };
}

/** The finding in words; null where there is none. */
export function creepTold({ isHotter: isFound, nowC, yearBeforeC }: Creep): Message | null {
  if (isFound !== true || nowC === null || yearBeforeC === null) return null;
  return message('temperature-creep', {
    now: toldToTenth('temperature', nowC),
    before: toldToTenth('temperature', yearBeforeC),
  });
}

/** What the finding goes by, in words. */
export const creepBasis = (): Message =>
  message('basis-temperature-creep', { least: toldChange(LEAST_RISE_K), days: LEAST_DAYS });

function blocksOf(days: readonly HotEnd[], last: number): HotBlock[] {
  const ofBlock = new Map<number, number[]>();
  for (const { day, hotC } of days) {
    const block = Math.floor(epochDayOf(day) / BLOCK_DAYS);
    const own = ofBlock.get(block);
    if (own) own.push(hotC);
    else ofBlock.set(block, [hotC]);
  }
  return Array.from({ length: YEAR + 1 + IN_A_ROW }, (_, back): HotBlock => {
    const values = ofBlock.get(last - back) ?? [];
    const from = (last - back) * BLOCK_DAYS;
    return {
      ...{ from: civilDateOf(from), until: civilDateOf(from + BLOCK_DAYS - 1), days: values.length },
      hotC: values.length < LEAST_DAYS ? null : median(values),
    };
  });
}

type Known = readonly (number | null)[];

/** The hottest around the same weeks a year before a block; null where they are not known. */
function yearBefore(known: Known, back: number): number | null {
  const around = known.slice(back + YEAR - 1, back + YEAR + 2);
  const values = around.filter((value) => value !== null);
  return values.length < around.length || values.length === 0 ? null : Math.max(...values);
}

function isHotter(known: Known): boolean | null {
  const rises = Array.from({ length: IN_A_ROW }, (_, back) => {
    const [now, before] = [known[back] ?? null, yearBefore(known, back)];
    return now === null || before === null ? null : now - before;
  });
  const [rise] = rises;
  if (rise == null || rises.includes(null)) return null;
  if (rises.some((one) => one! < LEAST_RISE_K)) return false;
  // A gap could hide a step.
  const year = known.slice(0, YEAR + 1);
  if (year.includes(null)) return null;
  return !year.some((value, back) => back + 2 <= YEAR && value! - year[back + 2]! > STEP_SHARE * rise);
}
