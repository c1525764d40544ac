import fc from 'fast-check';
import { costRate, logOptimum, meanUse } from '../../../src/domain/reliability/age-replacement.js';
import { optimumBand, profileShapeLimits } from '../../../src/domain/reliability/optimum-band.js';
import { fitWeibull } from '../../../src/domain/reliability/weibull-fit.js';
import { shockAbsorbers } from './shock-absorbers.js';

describe('replacing at an age', () => {
  it.each([
    // [shape, scale, planned, failure, age, cost rate]; the first: published answer 493.0470 (from
    // memory), computed by SciPy 1.17.1.
    [2.5, 1000, 1, 5, 493.046958, 3.46204274e-3],
    // The rest by SciPy 1.17.1: the derivative brought to zero with ∫S by quadrature.
    [3, 1, 1, 5, 0.5026095821, 3.0313967043],
    [1.3, 1, 1, 4, 1.3399254306, 4.2578346896],
    [8, 1, 2, 3, 0.8567031487, 2.7095834344],
    [3.16047031, 1, 1, 10, 0.3917999638, 3.7568332944],
  ])(
    'costs least, for shape %d and scale %d, costs %d and %d, at %d',
    (shape, scale, planned, failure, age, rate) => {
      const costs = { planned, failure };
      const found = scale * Math.exp(logOptimum(shape, costs));
      expect(found / age).toBeCloseTo(1, 8);
      expect(costRate(found, { shape, scale }, costs) / rate).toBeCloseTo(1, 8);
    },
  );

  it('has no least cost where parts do not wear out, or a failure costs no more', () => {
    for (const shape of [0.3, 0.999, 1]) expect(logOptimum(shape, { planned: 1, failure: 9 })).toBe(Infinity);
    expect(logOptimum(3, { planned: 1, failure: 1 })).toBe(Infinity);
    expect(logOptimum(3, { planned: 2, failure: 1 })).toBe(Infinity);
    expect(logOptimum(1.000001, { planned: 1, failure: 1.01 })).toBe(Infinity);
  });

  it('costs no less anywhere else, whatever the shape and the costs', () => {
    const any = fc.record({
      shape: fc.double({ min: 1.05, max: 400, noNaN: true }),
      ratio: fc.double({ min: 1.01, max: 1e6, noNaN: true }),
      elsewhere: fc.double({ min: 0.01, max: 20, noNaN: true }),
    });
    fc.assert(
      fc.property(any, ({ shape, ratio, elsewhere }) => {
        const costs = { planned: 1, failure: ratio };
        const law = { shape, scale: 1 };
        const best = costRate(Math.exp(logOptimum(shape, costs)), law, costs);
        expect(best).toBeGreaterThan(0);
        expect(costRate(elsewhere, law, costs)).toBeGreaterThanOrEqual(best * (1 - 1e-9));
        expect(costRate(Infinity, law, costs)).toBeGreaterThanOrEqual(best * (1 - 1e-9));
      }),
      { seed: 5, numRuns: 500 },
    );
  });

  it.each([
    // Regularised incomplete gamma × Γ(1 + 1/shape) by SciPy 1.17.1 (special.gammainc).
    [0.3, 2.5, 0.5691709935],
    [5, 1.1, 0.9597017026],
    [80, 0.4, 3.3233509704],
    [1e-6, 3, 0.0099999975],
    [Math.LN2, 1, 0.5],
  ])(
    'lets a part run, up to a cumulated hazard of %d at shape %d, %d scales on average',
    (hazard, shape, mean) => {
      expect(meanUse(hazard, shape) / mean).toBeCloseTo(1, 9);
    },
  );

  it('costs what one failure after another does where only failed parts are replaced', () => {
    // Mean life Γ(1 + 1/β)·η: for shape 0.5 it is 2 scales, for shape 1 one (Abramowitz & Stegun
    // 6.1).
    expect(costRate(Infinity, { shape: 0.5, scale: 10 }, { planned: 1, failure: 6 })).toBeCloseTo(0.3, 10);
    expect(costRate(Infinity, { shape: 1, scale: 10 }, { planned: 1, failure: 6 })).toBeCloseTo(0.6, 10);
    expect(costRate(Infinity, { shape: 0.1, scale: 1 }, { planned: 1, failure: 3628800 })).toBeCloseTo(1, 6);
  });
});

describe('the band of the optimum', () => {
  const fit = fitWeibull(shockAbsorbers())!;

  it('rests on the profile likelihood of the shape', () => {
    // SciPy 1.17.1: brentq on the likelihood maximised over the scale.
    expect(profileShapeLimits(fit)).toEqual({
      low: expect.closeTo(1.89853217, 6),
      high: expect.closeTo(4.77139078, 6),
    });
  });

  it.each([
    // SciPy 1.17.1: brentq on the likelihood maximised over the shape, the scale set by the
    // optimum.
    [5, 14071.1926, 11798.7465, 19021.4514],
    [10, 10860.1929, 8707.6709, 13381.1121],
  ])('is, where a failure costs %d times as much, %d from %d to %d', (failure, optimum, low, high) => {
    const costs = { planned: 1, failure };
    expect((fit.scale.value * Math.exp(logOptimum(fit.shape.value, costs))) / optimum).toBeCloseTo(1, 7);
    const band = optimumBand(fit, costs);
    expect(band.low / low).toBeCloseTo(1, 6);
    expect(band.high / high).toBeCloseTo(1, 6);
  });

  it('is open where the lives do not exclude that parts fail at random', () => {
    const few = shockAbsorbers().filter(({ age, failed }) => !failed || age < 14_000);
    const open = fitWeibull(few)!;
    expect(profileShapeLimits(open).low).toBeLessThan(1);
    expect(optimumBand(open, { planned: 1, failure: 5 }).high).toBe(Infinity);
  });
});
