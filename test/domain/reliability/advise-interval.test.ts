import { adviseInterval } from '../../../src/domain/reliability/advise-interval.js';
import { livesOf, shockAbsorbers } from './shock-absorbers.js';

const COSTS = { planned: 1, failure: 5 };

describe('the advice on an interval', () => {
  it('is where the shock absorbers cost least, with everything it rests on', () => {
    const advice = adviseInterval(shockAbsorbers(), COSTS);
    expect(advice.refusals).toEqual([]);
    expect([advice.failures, advice.longest]).toEqual([11, 28_100]);
    // SciPy 1.17.1: see the tests of the optimum and its band.
    expect(advice.optimum!.age).toBeCloseTo(14_071.19, 1);
    expect(advice.optimum!.band.high).toBeCloseTo(19_021.45, 1);
    const least = Math.min(...advice.costCurve.map(({ costRate }) => costRate));
    expect(least).toBeGreaterThanOrEqual(advice.optimum!.costRate);
    expect(least).toBeLessThan(advice.optimum!.costRate * 1.01);
    expect(advice.fitted[0]).toEqual({ age: 0, survival: 1 });
    expect(advice.fitted.at(-1)!.age).toBeGreaterThan(28_100);
    expect(advice.survival).toHaveLength(11);
  });

  it.each([
    ['too-few-failures', livesOf([900, 1000, 1100, 1050], [950, 1200]), COSTS],
    ['no-law-fits', livesOf([900, 900, 900, 900, 900, 900]), COSTS],
    ['no-wear-out', livesOf([10, 100, 250, 500, 900, 1600], [700, 800]), COSTS],
    ['no-costs', shockAbsorbers(), null],
    ['failure-costs-no-more', shockAbsorbers(), { planned: 5, failure: 5 }],
    ['failure-costs-no-more', shockAbsorbers(), { planned: 5, failure: 4 }],
    // The band runs from 21,682 to 65,529 km (SciPy as above, failure 1.5 times as dear).
    ['band-too-wide', shockAbsorbers(), { planned: 2, failure: 3 }],
  ] as const)('is refused: %s', (code, lives, costs) => {
    const { refusals } = adviseInterval(lives, costs);
    expect(refusals).toContain(code);
  });

  it('is refused where the optimum is beyond what any part has run', () => {
    // All taken out at 12,000 but for a few early failures: the law is carried on to where nobody
    // has looked.
    const lives = livesOf(
      [6000, 8000, 9000, 10_000, 11_000, 11_500],
      Array.from({ length: 60 }, () => 12_000),
    );
    const { refusals, optimum } = adviseInterval(lives, { planned: 1, failure: 1.9 });
    expect(optimum!.age).toBeGreaterThan(12_000);
    expect(refusals).toContain('beyond-the-lives');
  });

  it('tells of a refused answer all that can be told', () => {
    const few = adviseInterval(livesOf([900, 1000, 1100], [950, 1200]), COSTS);
    expect(few.fit!.shape.value).toBeGreaterThan(1);
    expect(few.survival).toHaveLength(3);
    expect(few.costCurve.length).toBeGreaterThan(10);
    const none = adviseInterval([], COSTS);
    expect(none).toMatchObject({ refusals: ['too-few-failures'], failures: 0, longest: 0, fit: null });
    expect([none.survival, none.fitted, none.costCurve, none.optimum]).toEqual([[], [], [], null]);
    const alive = adviseInterval(livesOf([], [5, 6]), COSTS);
    expect(alive).toMatchObject({ refusals: ['too-few-failures'], longest: 6, fit: null, survival: [] });
  });
});
