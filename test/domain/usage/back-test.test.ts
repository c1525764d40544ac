import { epochDayOf } from '../../../src/domain/calendar/civil-date.js';
import { dailyRate } from '../../../src/domain/usage/daily-rate.js';
import { project } from '../../../src/domain/usage/projection.js';
import { seeded, simulate, type UsageModel } from './simulated-usage.js';

const MS_PER_DAY = 86_400_000;

interface Score {
  /**
   * Mean absolute error over that of the oracle, which knows the true rate and cannot know the days
   * to come: the limit no method can beat.
   */
  ratio: number;
  /** Share of vehicles whose true day lies within the band. */
  coverage: number;
}

function scoreOf(models: readonly UsageModel[], runs: number): Score {
  const random = seeded(20_260_101);
  let [error, oracle, covered, count] = [0, 0, 0, 0];
  for (const model of models) {
    for (let run = 0; run < runs; run++) {
      const { days, last, limitKm, reachedOn, oracleOn } = simulate(model, random);
      const from = { at: last.epochDay * MS_PER_DAY, value: last.km };
      const projection = project(dailyRate(days, null, model.inUseMonths ?? null)!, from, limitKm, 'UTC')!;
      error += Math.abs(epochDayOf(projection.on) - reachedOn);
      oracle += Math.abs(oracleOn - reachedOn);
      if (epochDayOf(projection.earliestOn) <= reachedOn && reachedOn <= epochDayOf(projection.latestOn))
        covered++;
      count++;
    }
  }
  return { ratio: error / oracle, coverage: covered / count };
}

/**
 * Every coefficient of variation, read daily and weekly, with no and a quarter of the readings
 * missing.
 */
const models = (rest: Partial<UsageModel> = {}): UsageModel[] =>
  [0.3, 0.5, 0.8].flatMap((variation) =>
    [1, 7].flatMap((everyDays) =>
      [0, 0.25].map((missing) => ({ variation, everyDays, missing, history: 400, ...rest })),
    ),
  );

const UNEVEN = { missingWeeks: 0.1, lateDays: 7 };
const UP = { factor: 5 / 3, daysAgo: 30 };
const DOWN = { factor: 3 / 5, daysAgo: 30 };
const RUNS = 100;

// 1.5 for steady vehicles, 2.5 after a change of route 30 days ago, 85 to 95 % covered: what is
// asked of the method. docs/domain.md has the table.
describe('a projection 60 days ahead of simulated vehicles, against one who knows the true rate', () => {
  // Weeks without a reading and late uploads leave 23 to 30 days of the new route.
  const steady = scoreOf([...models(), ...models(UNEVEN)], RUNS);
  const summer = scoreOf(models({ inUseMonths: [4, 5, 6, 7, 8, 9, 10], history: 730 }), RUNS);
  const up = scoreOf([...models({ change: UP }), ...models({ ...UNEVEN, change: UP })], RUNS);
  const down = scoreOf([...models({ change: DOWN }), ...models({ ...UNEVEN, change: DOWN })], RUNS);

  it('is at most half as far again from the truth for steady vehicles, in use all year or for a season', () => {
    for (const { ratio } of [steady, summer]) {
      expect(ratio).toBeLessThan(1.5);
      // Closer than the oracle would mean that the simulation gives something away.
      expect(ratio).toBeGreaterThan(1);
    }
  });

  it('is at most two and a half times as far after a change of route 30 days ago, to more use or to less', () => {
    for (const { ratio } of [up, down]) expect(ratio).toBeLessThan(2.5);
  });

  it('covers the truth with its band in 85 to 95 % of all of them', () => {
    const [twice, once] = [steady.coverage + up.coverage + down.coverage, summer.coverage];
    const coverage = (2 * twice + once) / 7;
    expect(coverage).toBeGreaterThan(0.85);
    expect(coverage).toBeLessThan(0.95);
  });
});
