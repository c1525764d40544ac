import fc from 'fast-check';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { mannKendall } from '../../../src/domain/statistics/mann-kendall.js';
import { median, scaledMad } from '../../../src/domain/statistics/median.js';
import { normalCdf, normalQuantile } from '../../../src/domain/statistics/normal.js';
import { studentT95, studentTCdf } from '../../../src/domain/statistics/student-t.js';
import { theilSen } from '../../../src/domain/statistics/theil-sen.js';
import { referenceRows } from './reference-data.js';

const norris = referenceRows('norris.csv').map(({ x, y }) => ({ x: x!, y: y! }));
// EPA QA/G-9S, Mann–Kendall example.
const epa = [10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15];

describe('theilSen', () => {
  it('gives the slope and 95 % limits that SciPy gives for Norris', () => {
    // SciPy 1.17.1 theilslopes on NIST StRD Norris.
    const { slope, low, high } = theilSen(norris);
    expect(slope).toBeCloseTo(1.0021968366, 9);
    expect(low).toBeCloseTo(1.0011153, 6);
    expect(high).toBeCloseTo(1.0030535, 6);
  });

  it('gives Sen’s slope of five values', () => {
    // R 4.2.2: 1.125.
    expect(theilSen([5, 6, 11, 8, 10].map((y, x) => ({ x, y }))).slope).toBeCloseTo(1.125, 12);
  });

  it('finds the exact slope of a line with a quarter of wild points, whatever their order', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -50, max: 50 }),
        fc.array(fc.integer({ min: -1e6, max: 1e6 }), { minLength: 4, maxLength: 4 }),
        fc.infiniteStream(fc.nat()),
        (slope, wild, keys) => {
          const points = Array.from({ length: 17 }, (_, x) => ({ x, y: slope * x + 7 }));
          wild.forEach((y, i) => (points[i * 4]!.y = y));
          const shuffled = points.map((p) => ({ p, k: keys.next().value })).sort((a, b) => a.k - b.k);
          expect(theilSen(shuffled.map(({ p }) => p)).slope).toBeCloseTo(slope, 9);
        },
      ),
    );
  });

  it('refuses points that all stand at one place', () => {
    expect(() =>
      theilSen([
        { x: 1, y: 1 },
        { x: 1, y: 2 },
      ]),
    ).toThrow(ImpossibleValue);
  });
});

describe('mannKendall', () => {
  it('reproduces the EPA example', () => {
    // EPA QA/G-9S: S 22, variance 155.3333, Z 1.685; R 4.2.2: two-sided p 0.091998 with the
    // continuity correction.
    const found = mannKendall(epa);
    expect(found.s).toBe(22);
    expect(found.variance).toBeCloseTo(155.3333, 4);
    expect(found.z).toBeCloseTo(1.685, 3);
    expect(found.pTwoSided).toBeCloseTo(0.091998, 6);
  });

  it('counts out the exact probability of a rise', () => {
    // R 4.2.2, Kendall exact: S 6, one-sided 0.116667.
    expect(mannKendall([5, 6, 11, 8, 10])).toMatchObject({
      s: 6,
      exact: true,
      pRising: expect.closeTo(0.116667, 6),
    });
    // One order of 120 rises throughout.
    expect(mannKendall([1, 2, 3, 4, 5]).pRising).toBeCloseTo(1 / 120, 12);
  });

  it('is exact with ties: equals counting every order of the values', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 2, maxLength: 6 }), (series) => {
        const { s, pRising } = mannKendall(series);
        const orders = permutations(series);
        const asLarge = orders.filter((order) => mannKendall(order).s >= s).length;
        expect(pRising).toBeCloseTo(asLarge / orders.length, 10);
      }),
      { numRuns: 30 },
    );
  });

  it('goes over to the normal approximation without a jump', () => {
    const wave = (n: number) => Array.from({ length: n }, (_, i) => i / 8 + 3 * Math.sin(i * 2.4));
    const [exact, approximate] = [mannKendall(wave(30)), mannKendall(wave(31))];
    expect([exact.exact, approximate.exact]).toEqual([true, false]);
    expect(exact.pRising).toBeCloseTo(1 - normalCdf(exact.z), 2);
  });

  it('sees no trend where nothing varies', () => {
    expect(mannKendall([2, 2, 2])).toMatchObject({ s: 0, z: 0, pTwoSided: 1, pRising: 1 });
  });
});

function permutations(values: readonly number[]): number[][] {
  if (values.length < 2) return [[...values]];
  return values.flatMap((value, i) =>
    permutations(values.filter((_, j) => j !== i)).map((rest) => [value, ...rest]),
  );
}

describe('distributions', () => {
  // NIST/SEMATECH e-Handbook 1.3.6.7.2, critical values of Student's t, upper tail 0.05 (public
  // copy of the table).
  it.each([
    [1, 6.314],
    [2, 2.92],
    [3, 2.353],
    [4, 2.132],
    [5, 2.015],
    [6, 1.943],
    [7, 1.895],
    [8, 1.86],
    [9, 1.833],
    [10, 1.812],
    [15, 1.753],
    [20, 1.725],
    [28, 1.701],
    [30, 1.697],
    [60, 1.671],
    [100, 1.66],
  ])('t 0.95 with %d degrees of freedom is %d', (degreesOfFreedom, expected) => {
    expect(Math.abs(studentT95(degreesOfFreedom) - expected)).toBeLessThan(0.0006);
  });

  it('agrees with the closed forms for 1 and 2 degrees of freedom', () => {
    expect(studentT95(1)).toBeCloseTo(Math.tan(Math.PI * 0.45), 9);
    // F(t) = ½ + t/(2√(2 + t²)) = 0.95, solved for t.
    expect(studentT95(2)).toBeCloseTo(Math.sqrt((2 * 0.81) / 0.19), 9);
    expect(studentTCdf(-1.812461, 10)).toBeCloseTo(0.05, 6);
  });

  // From memory of the published table of the normal distribution, checked by inverting it here.
  it.each([
    [0.5, 0],
    [0.95, 1.6448536],
    [0.975, 1.959964],
    [0.995, 2.5758293],
    [1e-6, -4.7534243],
  ])('normal quantile of %d is %d', (p, z) => {
    expect(normalQuantile(p)).toBeCloseTo(z, 6);
    expect(normalCdf(z)).toBeCloseTo(p, 7);
  });

  it('joins its two ways of computing the normal tail smoothly', () => {
    const z = 2.5 * Math.SQRT2;
    expect(normalCdf(-z - 1e-9)).toBeCloseTo(normalCdf(-z + 1e-9), 11);
  });

  it('refuses what is no probability and no degree of freedom', () => {
    expect(() => normalQuantile(1)).toThrow(ImpossibleValue);
    expect(() => studentTCdf(1, 0.5)).toThrow(ImpossibleValue);
  });
});

describe('median and its deviation', () => {
  it('takes the middle, or the mean of the middle two', () => {
    expect(median([3, 1, 10])).toBe(3);
    expect(median([4, 1, 10, 3])).toBe(3.5);
    expect(() => median([])).toThrow(ImpossibleValue);
  });

  it('scales the median absolute deviation by 1.4826', () => {
    // Deviations from 2: 1 1 0 0 2 4 7, whose median is 1.
    expect(scaledMad([1, 1, 2, 2, 4, 6, 9])).toBeCloseTo(1.4826, 10);
  });
});
