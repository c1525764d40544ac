import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import { cohortOf, isNoticeablyOther } from '../../../../src/domain/loss/usual-loss/loss-cohort.js';
import { lossRateOf } from '../../../../src/domain/loss/usual-loss/loss-rate.js';
import { fill, levelCheck, onDay, topUp, vehicle } from '../facts.js';

const rateOf = (events: Parameters<typeof vehicle>[0], more = {}) =>
  lossRateOf(vehicle(events, more), LOSS_DEFAULTS, onDay(1000));

describe('what one vehicle loses', () => {
  it('is what went missing between its levels, by the distance', () => {
    const levels = [0, 0.1, 0.2, 0.3].map((below, n) =>
      levelCheck(`l${n}`, 100 * n, below, { km: 1000 + 5000 * n }),
    );
    // By hand: 0.3 L over 15,000 km.
    expect(rateOf(levels)).toBeCloseTo(0.02, 12);
  });

  it('counts what was poured in meanwhile, and engine hours at 25 to 1,000 km', () => {
    const events = [
      levelCheck('a', 0, 0, { hours: 100 }),
      topUp('t', 100, 0.2, { hours: 300 }),
      levelCheck('b', 200, 0.1, { hours: 400 }),
    ];
    // By hand: 0.3 L over 300 h, which are worth 12,000 km.
    expect(rateOf(events)).toBeCloseTo(0.3 / 12, 12);
  });

  it('is not told before the distance outweighs the reading errors', () => {
    // √2·0.15/0.02 = 10.607 thousand km for 12 L; √2·0.3/0.02 = 21.213 for 40 L.
    const over = (km: number) => [
      levelCheck('a', 0, 0, { km: 1000 }),
      levelCheck('b', 300, 0.2, { km: 1000 + km }),
    ];
    const large = { sheet: { capacityL: 40, base: 'ethylene-glycol', technology: null } };
    expect(rateOf(over(10_600))).toBeNull();
    expect(rateOf(over(10_610))).toBeCloseTo(0.2 / 10.61, 12);
    expect(rateOf(over(21_200), large)).toBeNull();
    expect(rateOf(over(21_220), large)).toBeCloseTo(0.2 / 21.22, 12);
  });

  it('leaves out what settles after a fill, and what lies beyond the end', () => {
    const events = [
      fill('f', 0, { km: 1000 }),
      levelCheck('a', 3, 0.5, { km: 1200 }),
      levelCheck('b', 300, 0.5, { km: 12_200 }),
    ];
    expect(rateOf(events)).toBeCloseTo(0, 12);
    expect(rateOf([...events, levelCheck('c', 1001, 3, { km: 20_000 })])).toBeCloseTo(0, 12);
  });
});

describe('what the vehicles of a sheet lose', () => {
  it('is median and 1.4826 MAD, with floors, from five vehicles on', () => {
    expect(cohortOf([0.01, 0.02, 0.03, 0.04])).toBeNull();
    // By hand: median 0.1; deviations 0.06, 0.03, 0, 0.05, 0.8, their median 0.05.
    const cohort = cohortOf([0.04, 0.07, 0.1, 0.15, 0.9]);
    expect(cohort?.mu0).toBeCloseTo(0.1, 12);
    expect(cohort?.sigma).toBeCloseTo(0.07413, 12);
    expect(cohortOf([-0.1, -0.1, 0, 0, 0])).toEqual({ mu0: 0.01, sigma: 0.02 });
  });

  it.each([
    [{ mu0: 0.034, sigma: 0.02 }, false],
    [{ mu0: 0.036, sigma: 0.02 }, true],
    [{ mu0: 0.024, sigma: 0.02 }, true],
    [{ mu0: 0.03, sigma: 0.026 }, true],
    [{ mu0: 0.03, sigma: 0.024 }, false],
    [null, true],
  ])('is noticeably other than 0.03 ± 0.02 when it is %j: %s', (found, expected) => {
    expect(isNoticeablyOther({ mu0: 0.03, sigma: 0.02 }, found)).toBe(expected);
    expect(isNoticeablyOther(null, found)).toBe(found !== null);
  });
});
