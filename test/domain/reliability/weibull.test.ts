import fc from 'fast-check';
import { groupLives, type Life } from '../../../src/domain/reliability/lives.js';
import { fitWeibull } from '../../../src/domain/reliability/weibull-fit.js';
import { profileAt, weibullSample } from '../../../src/domain/reliability/weibull-likelihood.js';
import { english } from '../../support/english.js';
import { refusalOf } from '../../support/refusal.js';
import { livesOf, shockAbsorbers } from './shock-absorbers.js';

/**
 * Millions of revolutions to failure of 23 ball bearings: Lieblein & Zelen (1956), J. Res. Nat.
 * Bur. Stand. 57, 273.
 */
const BEARINGS = [
  17.88, 28.92, 33.0, 41.52, 42.12, 45.6, 48.4, 51.84, 51.96, 54.12, 55.56, 67.8, 68.64, 68.64, 68.88, 84.12,
  93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.4,
];

describe('a Weibull law by maximum likelihood', () => {
  it('gives the published estimates of the shock absorbers, most of which had not failed', () => {
    const fit = fitWeibull(shockAbsorbers())!;
    // Meeker & Escobar (1998), table C.2 and section 11.5; digits by R survival 3.5-3 (survreg) and
    // SciPy 1.17.1.
    expect(fit.shape.value).toBeCloseTo(3.16047031, 6);
    expect(fit.scale.value).toBeCloseTo(27718.7181, 3);
    expect(fit.logLikelihood).toBeCloseTo(-123.995361, 5);
    expect(fit.shape.standardError).toBeCloseTo(0.730818, 5);
    expect(fit.scale.standardError).toBeCloseTo(3046.023, 2);
    expect([fit.shape.low, fit.shape.high]).toEqual([expect.closeTo(2.00873, 4), expect.closeTo(4.97257, 4)]);
    expect([fit.scale.low, fit.scale.high]).toEqual([
      expect.closeTo(22347.77, 1),
      expect.closeTo(34380.49, 1),
    ]);
    expect(fit.b10.value).toBeCloseTo(13600.03, 1);
    // Its limits by another way: the likelihood written with B10 itself as a parameter, its second
    // derivatives taken numerically (Python).
    expect(fit.b10.standardError).toBeCloseTo(1981.378, 2);
    expect([fit.b10.low, fit.b10.high]).toEqual([expect.closeTo(10221.84, 1), expect.closeTo(18094.68, 1)]);
  });

  it('gives those of lives of which every one ended in failure', () => {
    const fit = fitWeibull(livesOf(BEARINGS))!;
    // Lawless, Statistical Models and Methods for Lifetime Data (from memory: 2.10 and 81.9);
    // digits by SciPy 1.17.1, Nelder–Mead.
    expect(fit.shape.value).toBeCloseTo(2.10184688, 6);
    expect(fit.scale.value).toBeCloseTo(81.87455778, 5);
    expect(fit.logLikelihood).toBeCloseTo(-113.69195908, 6);
  });

  it('counts parts that were fitted before records began from then on', () => {
    const delayed = shockAbsorbers().map((life, index) =>
      index % 3 === 0 ? { ...life, entry: 0.4 * life.age } : life,
    );
    const fit = fitWeibull(delayed)!;
    // SciPy 1.17.1, Nelder–Mead on the likelihood written out.
    expect(fit.shape.value).toBeCloseTo(3.05267087, 5);
    expect(fit.scale.value / 27767.6407).toBeCloseTo(1, 6);
    expect(fit.logLikelihood).toBeCloseTo(-123.7814405664, 6);
  });

  it.each([
    ['alone', livesOf([500])],
    ['all alike', livesOf([500, 500, 500, 500, 500, 500])],
    ['all alike and the oldest', livesOf([500, 500, 500, 500, 500], [100, 200, 500])],
    ['none', livesOf([], [100, 200])],
  ])('is none where the failures are %s: any greater shape would do better', (_what, lives) => {
    expect(fitWeibull(lives)).toBeNull();
  });

  it('is found where one part failed and others outlived it, and where failures differ by next to nothing', () => {
    const one = fitWeibull(livesOf([500], [400, 600, 700]))!;
    expect(one.shape.low).toBeGreaterThan(0);
    expect(one.shape.high).toBeGreaterThan(one.shape.value);
    const close = fitWeibull(livesOf([1000, 1000.5, 1001, 1001.5, 1002]))!;
    expect(close.shape.value).toBeGreaterThan(1000);
    expect(close.scale.value).toBeCloseTo(1001.4, 0);
  });

  const anyLife = fc.record({
    age: fc.double({ min: 1, max: 1e6, noNaN: true }),
    share: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 0.9, noNaN: true })),
    failed: fc.boolean(),
    count: fc.integer({ min: 1, max: 3 }),
  });
  const anyLives = fc
    .array(anyLife, { minLength: 2, maxLength: 25 })
    .map((raws) =>
      raws.map(({ age, share, failed, count }): Life => ({ age, entry: age * share, failed, count })),
    );

  it('is the best of its neighbours, whatever the lives', () => {
    fc.assert(
      fc.property(anyLives, (lives) => {
        const fit = fitWeibull(lives);
        if (fit === null) return;
        const sample = weibullSample(lives);
        for (const factor of [0.5, 0.9, 0.999, 1.001, 1.1, 2])
          expect(profileAt(sample, fit.shape.value * factor).logLikelihood).toBeLessThanOrEqual(
            fit.logLikelihood + 1e-9 * Math.abs(fit.logLikelihood),
          );
        for (const { value, low, high } of [fit.shape, fit.scale, fit.b10]) {
          expect(low).toBeLessThanOrEqual(value);
          expect(high).toBeGreaterThanOrEqual(value);
        }
      }),
      { seed: 11, numRuns: 300 },
    );
  });

  it.each([1e-12, 1e-3, 1e3, 1e12])('does not depend on the unit: × %d', (factor) => {
    const lives = shockAbsorbers().map((life) => ({ ...life, age: life.age * factor }));
    const fit = fitWeibull(lives)!;
    expect(fit.shape.value).toBeCloseTo(3.16047031, 6);
    expect(fit.shape.low).toBeCloseTo(2.00873, 4);
    expect(fit.scale.value / factor / 27718.7181).toBeCloseTo(1, 7);
  });

  it('takes lives alike together, and of very many those within a thousandth, without moving the estimate', () => {
    const lives = shockAbsorbers();
    expect(groupLives([...lives, ...lives]).every(({ count }) => count % 2 === 0)).toBe(true);
    const many = Array.from({ length: 300 }, (_, round) =>
      lives.map((life) => ({ ...life, age: life.age * (1 + round * 1e-7) })),
    ).flat();
    const grouped = groupLives(many);
    expect(grouped.length).toBeLessThan(60);
    expect(grouped.reduce((sum, { count }) => sum + count, 0)).toBe(38 * 300);
    const fit = fitWeibull(grouped)!;
    expect(fit.shape.value).toBeCloseTo(3.16047, 2);
    expect(fit.scale.value / 27718.7181).toBeCloseTo(1, 3);
    // Three hundred times as many lives: limits √300 times as close.
    expect(fit.shape.standardError).toBeCloseTo(0.730818 / Math.sqrt(300), 3);
  });

  it('refuses a life that cannot be', () => {
    const refusal = (life: Partial<Life>) => {
      const { field, detail } = refusalOf(() =>
        groupLives([{ age: 5, entry: 0, failed: true, count: 1, ...life }]),
      );
      return `${field}: ${english(detail)}`;
    };
    expect(refusal({ age: 0 })).toMatch(/^age: A life of 0 is not possible/);
    expect(refusal({ entry: 5 })).toMatch(/^entry: A life of 5 cannot be watched from 5 on/);
    expect(refusal({ count: 0 })).toMatch(/^count: 0 lives are not possible/);
  });
});
