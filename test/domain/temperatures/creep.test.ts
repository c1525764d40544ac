import { addDays, civilDateOf } from '../../../src/domain/calendar/civil-date.js';
import {
  CREEP_LOOKS_BACK_DAYS,
  creepOf,
  creepTold,
  type HotEnd,
} from '../../../src/domain/temperatures/creep.js';
import { english } from '../../support/english.js';
import { seeded } from '../loss/simulation.js';
import { CHANGEFUL_WORLD, FIRST_DAY, hotEnds, type HotEndWorld, USUAL_WORLD } from './simulated-hot-ends.js';

const AS_OF = '2026-04-02';

/** A hot end for each day up to one. */
const daily = (days: number, hotC: (daysAgo: number) => number): HotEnd[] =>
  Array.from({ length: days }, (_, daysAgo) => ({ day: addDays(AS_OF, -daysAgo), hotC: hotC(daysAgo) }));

describe('coolant that runs ever hotter', () => {
  /** 12 K more within the last ten months, bit by bit. */
  const CREEPING = daily(500, (ago) => 90 + Math.max(0, 12 - ago / 25));

  it('is found, and told with what it was a year before', () => {
    const creep = creepOf(CREEPING, AS_OF);
    expect(creep.isHotter).toBe(true);
    const told = creepTold(creep);
    expect(told && english(told)).toBe(
      'The coolant runs hotter and hotter: 100.6 °C at its hottest, against 90 °C in the same weeks last year. Check the radiator fins, fan and thermostat.',
    );
  });

  it.each<[string, HotEnd[], boolean | null]>([
    ['with a short history', CREEPING.slice(0, 400), null],
    [
      'with a year in which it was not read for two months',
      CREEPING.filter((_, ago) => ago < 100 || ago > 160),
      null,
    ],
    ['at the same temperature', daily(500, () => 90), false],
    ['with the season', daily(500, (ago) => 90 + 4 * Math.cos((2 * Math.PI * ago) / 364)), false],
    ['after one step', daily(500, (ago) => (ago < 150 ? 100 : 90)), false],
    ['4 K hotter', daily(500, (ago) => 90 + Math.max(0, 4 - ago / 75)), false],
    ['hotter for four weeks only', daily(500, (ago) => (ago < 35 ? 96 : 90)), false],
  ])('is not found %s', (_, days, found) => {
    expect(creepOf(days, AS_OF).isHotter).toBe(found);
    expect(creepTold(creepOf(days, AS_OF))).toBeNull();
  });

  it('does not depend on the order of the days, nor on days further back', () => {
    const creep = creepOf(CREEPING, AS_OF);
    expect(creepOf([...CREEPING].reverse(), AS_OF)).toEqual(creep);
    const first = addDays(AS_OF, -CREEP_LOOKS_BACK_DAYS);
    expect(
      creepOf(
        CREEPING.filter(({ day }) => day >= first),
        AS_OF,
      ),
    ).toEqual(creep);
  });
});

// The figures in docs/domain.md come from these functions with 1,000 vehicles and 400 rises.

/** Every four weeks, as the blocks end. */
const LOOKS = 28;
const FIRST_LOOK = 460;
const YEARS = 6;

/** The days come five a week, so that the last ones are found without a search. */
const upTo = (days: readonly HotEnd[], day: number): HotEnd[] => {
  const end = Math.floor(day / 7) * 5 + Math.min(day % 7, 5);
  return days.slice(Math.max(0, end - Math.ceil((CREEP_LOOKS_BACK_DAYS * 5) / 7)), end);
};

const isFoundOn = (days: readonly HotEnd[], day: number): boolean =>
  creepOf(upTo(days, day), civilDateOf(FIRST_DAY + day)).isHotter === true;

/** How often the finding begins, per 100 vehicle-years, where nothing creeps. */
function falseFindings(world: HotEndWorld, vehicles: number): number {
  const random = seeded(51);
  let found = 0;
  for (let vehicle = 0; vehicle < vehicles; vehicle++) {
    const days = hotEnds(world, YEARS * 365, random);
    let before = false;
    for (let day = FIRST_LOOK; day < YEARS * 365; day += LOOKS) {
      const isFound = isFoundOn(days, day);
      if (isFound && !before) found++;
      before = isFound;
    }
  }
  return (100 * found) / ((vehicles * (YEARS * 365 - FIRST_LOOK)) / 365);
}

/** Months of 30.4 days until a rise is found, ascending; Infinity: not within four years. */
function monthsToFind(kPerMonth: number, runs: number, isMasked = false): number[] {
  const random = seeded(52);
  const months = Array.from({ length: runs }, () => {
    const fromDay = FIRST_LOOK + 365 * random();
    const days = hotEnds({ ...USUAL_WORLD, isMasked, creep: { kPerMonth, fromDay } }, YEARS * 365, random);
    for (let day = Math.ceil(fromDay / LOOKS) * LOOKS; day < YEARS * 365; day += LOOKS)
      if (isFoundOn(days, day)) return (day - fromDay) / 30.4;
    return Infinity;
  });
  return months.sort((a, b) => a - b);
}

const shareWithin = (months: number, found: readonly number[]): number =>
  (100 * found.filter((one) => one <= months).length) / found.length;

describe('the finding that coolant runs ever hotter, simulated', () => {
  it.each([
    ['usual', USUAL_WORLD, 0.5],
    ['changeful', CHANGEFUL_WORLD, 2],
  ] as const)('is false at most so often per 100 vehicle-years in a %s world', (_, world, most) => {
    expect(falseFindings(world, 100)).toBeLessThanOrEqual(most);
  });

  it('finds 2 K a month within a year, and 1 K a month mostly', () => {
    expect(shareWithin(12, monthsToFind(2, 60))).toBeGreaterThanOrEqual(95);
    expect(shareWithin(12, monthsToFind(1, 60))).toBeGreaterThanOrEqual(50);
  });

  it('hardly finds what shows on hot days only, as docs/domain.md says', () => {
    expect(shareWithin(12, monthsToFind(1, 60, true))).toBeLessThan(15);
  });
});
