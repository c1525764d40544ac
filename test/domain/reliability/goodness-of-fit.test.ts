import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { goodnessOfFit } from '../../../src/domain/reliability/goodness-of-fit.js';
import { groupLives, type Life } from '../../../src/domain/reliability/lives.js';
import { fitWeibull } from '../../../src/domain/reliability/weibull-fit.js';
import { chiSquareTail } from '../../../src/domain/statistics/chi-square.js';
import { livesOf, shockAbsorbers } from './shock-absorbers.js';

/** Numbers between 0 and 1 that are the same every time (Park & Miller's generator). */
function numbers(seed: number): () => number {
  let state = seed;
  return () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
}

function testOf(lives: readonly Life[]) {
  const fit = fitWeibull(lives)!;
  return goodnessOfFit(lives, { shape: fit.shape.value, scale: fit.scale.value });
}

describe('the goodness of fit', () => {
  it('does not reject the shock absorbers, and accounts for every failure', () => {
    const fit = testOf(shockAbsorbers())!;
    // A Weibull law is what Meeker & Escobar (1998), section 11.5, find adequate for them.
    expect(fit.p).toBeGreaterThan(0.05);
    expect(fit.degreesOfFreedom).toBe(2);
    expect(fit.cells.map(({ failed }) => failed).reduce((a, b) => a + b)).toBe(11);
    // Equal expected failures: 11/3 each.
    for (const { expected } of fit.cells) expect(expected).toBeCloseTo(11 / 3, 6);
  });

  it('is not told below 8 failures (common practice, no source)', () => {
    expect(testOf(livesOf([1, 2, 3, 4, 5, 6, 7], [8, 9]))).toBeNull();
    expect(testOf(livesOf([1, 2, 3, 4, 5, 6, 7, 8], [9]))).not.toBeNull();
  });

  it('rejects about one in twenty where the law holds, and most where two kinds of part are mixed', () => {
    const random = numbers(2026);
    const draw = (shape: number, scale: number): number => scale * (-Math.log(1 - random())) ** (1 / shape);
    const censored = (age: number, end: number): Life => ({
      ...{ age: Math.min(age, end), entry: 0, failed: age <= end, count: 1 },
    });
    const rejected = (part: () => number, size: number, runs: number): number => {
      let count = 0;
      for (let run = 0; run < runs; run++) {
        const lives = groupLives(Array.from({ length: size }, () => censored(part(), 0.4 + 1.2 * random())));
        if (testOf(lives)!.p < 0.05) count++;
      }
      return count / runs;
    };
    // The law itself: 5 %, four standard errors of 100 runs allowed.
    expect(rejected(() => draw(3, 1), 80, 100)).toBeLessThan(0.05 + 0.088);
    const mixed = (): number => (random() < 0.3 ? draw(8, 0.15) : draw(8, 0.9));
    expect(rejected(mixed, 80, 20)).toBeGreaterThan(0.9);
  });
});

describe('the upper tail of χ²', () => {
  it.each([
    // SciPy 1.17.1, stats.chi2.sf.
    [3.1010210875, 2, 0.2121396396],
    [7.81, 3, 0.0501060564],
    [0.5, 1, 0.4795001222],
    [11.07, 5, 0.0500096186],
    [20, 8, 0.0103360507],
    [2, 7, 0.9598403687],
    [0, 3, 1],
  ])('above %d with %d degrees of freedom is %d', (value, degrees, tail) => {
    expect(chiSquareTail(value, degrees)).toBeCloseTo(tail, 9);
  });

  it('knows no half degrees of freedom', () => {
    expect(() => chiSquareTail(1, 1.5)).toThrow(ImpossibleValue);
    expect(() => chiSquareTail(1, 0)).toThrow(ImpossibleValue);
  });
});
