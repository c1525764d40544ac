import { watchVehicle } from '../../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import type { JobLine, LossFact } from '../../../../src/domain/loss/facts/types.js';
import { limitsFor } from '../../../../src/domain/loss/rules/rising-limits.js';
import { lossTrend } from '../../../../src/domain/loss/trend/loss-trend.js';
import { cohortOf } from '../../../../src/domain/loss/usual-loss/loss-cohort.js';
import { englishIn } from '../../../support/english.js';
import { fill, job, levelCheck, line, onDay, topUp, vehicle } from '../facts.js';

describe('the limits of a block', () => {
  // 2,000 of 7,000,000 km: one block in 3,500. Φ⁻¹(1 − 1/3500) = 3.4458 (table of the normal
  // distribution: Q(3.44) = 2.909e-4, Q(3.45) = 2.803e-4).
  // Siegmund with k = 1.25: (e^(2.5·3.7207) − 2.5·3.7207 − 1)/3.125 = 3,500, and 3.7207 − 1.166 =
  // 2.5547.
  it('follow from the distance in which one false alarm is allowed', () => {
    const { cusum, departure } = limitsFor(2, LOSS_DEFAULTS);
    expect(departure).toBeGreaterThan(3.44);
    expect(departure).toBeLessThan(3.45);
    expect(cusum).toBeCloseTo(2.5547, 3);
  });
  it('are lower for whoever checks seldom', () => {
    const [often, seldom] = [limitsFor(1.2, LOSS_DEFAULTS), limitsFor(10, LOSS_DEFAULTS)];
    expect(seldom.cusum).toBeLessThan(often.cusum);
    expect(seldom.departure).toBeLessThan(often.departure);
  });
  it('exist for a block longer than that distance', () => {
    expect(limitsFor(9000, LOSS_DEFAULTS)).toEqual({ cusum: 0, departure: expect.closeTo(0, 9) });
  });
});

describe('a cohort', () => {
  // Median 0.03; deviations 0.02 0.01 0 0.01 0.87, median 0.01; 1.4826·0.01 = 0.0148, below the
  // floor of 0.02 (common practice).
  it('is not set by its leaking vehicles', () => {
    expect(cohortOf([0.01, 0.02, 0.03, 0.04, 0.9])).toEqual({ mu0: 0.03, sigma: 0.02 });
  });
  // Median 0.3; deviations 0.2 0.1 0 0.1 0.2, median 0.1; σ = 0.14826.
  it('has the spread of its middle', () => {
    const cohort = cohortOf([0.1, 0.2, 0.3, 0.4, 0.5]);
    expect(cohort?.mu0).toBeCloseTo(0.3, 9);
    expect(cohort?.sigma).toBeCloseTo(0.14826, 9);
  });
  it('needs five vehicles', () => {
    expect(cohortOf([0.1, 0.2, 0.3, 0.4])).toBeNull();
  });
});

/** Cold levels every 2,000 km and 20 days, with so many litres missing. */
function levels(missing: readonly number[]): LossFact[] {
  return missing.map((belowMarkL, index) =>
    levelCheck(`l${index}`, 20 * index, belowMarkL, { km: 2000 * index }),
  );
}

function raisedBy(events: LossFact[], cohort: { mu0: number; sigma: number } | null = null) {
  return watchVehicle(vehicle(events, { cohort }), LOSS_DEFAULTS, onDay(1000))
    .filter((episode) => episode.kind === 'rising-loss')
    .map((episode) => `${episode.key} at ${episode.raisedAt}`);
}

describe('a rising loss', () => {
  // By hand. First block: (0.6 − 2·0.01)/√(0.0225 + 2²·0.0004 + 0.0225) = 0.58/0.215870 = 2.6868; S
  // = 2.6868 − 1.25 = 1.4368.
  // The line then: level 0.28004, rate 0.019957, variances 0.0116363 and 0.00038627, covariance
  // −0.00038627. Second block:
  // (1.2 − 0.28004 − 4·0.019957)/√(0.0116363 − 8·0.00038627 + 16·0.00038627 + 0.0225) =
  // 0.840132/0.192942 = 4.3543; S = 4.5411.
  it('is found at the second block of 0.3 L/1,000 km', () => {
    const events = levels([0, 0.6, 1.2]);
    expect(raisedBy(events)).toEqual([`rising-loss:l0 at ${onDay(40)}`]);
    const trend = lossTrend(vehicle(events), LOSS_DEFAULTS, onDay(1000));
    expect(trend.cusum.map((point) => point.departure)).toEqual([
      expect.closeTo(2.6868, 3),
      expect.closeTo(4.3543, 3),
    ]);
    expect(trend.cusum.map((point) => point.value)).toEqual([
      expect.closeTo(1.4368, 3),
      expect.closeTo(4.5411, 3),
    ]);
    expect(trend.cusum.map((point) => point.limit)).toEqual([
      expect.closeTo(2.5547, 3),
      expect.closeTo(2.5547, 3),
    ]);
    expect(trend.lossPer1000Km.map((point) => point.lossL)).toEqual([
      expect.closeTo(0.3, 9),
      expect.closeTo(0.3, 9),
    ]);
    expect(trend.cumulativeLoss.map((point) => point.lostL)).toEqual([0, 0.6, expect.closeTo(1.2, 9)]);
  });

  // S stays above its limit for a while after the leak has stopped, and yet nothing was lost.
  it('takes in no block that lost nothing, however high the sum still stands', () => {
    const missing = [0, 0.6, 1.2, 1.2, 1.2, 1.2];
    const trend = lossTrend(vehicle(levels(missing)), LOSS_DEFAULTS, onDay(1000));
    const last = trend.cusum.at(-1);
    expect(last?.value).toBeGreaterThan(last?.limit ?? Infinity);
    expect(last?.departure).toBeLessThan(LOSS_DEFAULTS.cusumSlack);
    const [episode] = watchVehicle(vehicle(levels(missing)), LOSS_DEFAULTS, onDay(1000)).filter(
      (candidate) => candidate.kind === 'rising-loss',
    );
    expect(episode?.evidence.map((entry) => entry.factId)).not.toContain('l5');
  });

  // 0.6 L and 1.2 L are 0.63 and 1.27 US quarts (NIST SP 811): read to the half.
  it('is told in the reader’s units, above or below the mark', () => {
    const [episode] = watchVehicle(vehicle(levels([-0.5, 0.6, 1.2])), LOSS_DEFAULTS, onDay(1000)).filter(
      (candidate) => candidate.kind === 'rising-loss',
    );
    const told = (units: 'us' | 'si') => episode?.evidence.map(({ message }) => englishIn(units, message));
    expect(told('us')).toEqual([
      'Cold level: 0.5 qt above the mark.',
      'Cold level: 0.5 qt below the mark. Lost since the first level: 1 qt.',
      'Cold level: 1.5 qt below the mark. Lost since the first level: 2 qt.',
    ]);
    expect(told('si')?.at(-1)).toBe('Cold level: 1.2 L below the mark. Lost since the first level: 1.7 L.');
  });

  it('is found where every loss was filled up again', () => {
    const events = [
      levelCheck('l0', 0, 0, { km: 0 }),
      topUp('t1', 20, 0.6, { km: 2000, planned: true }),
      topUp('t2', 40, 0.6, { km: 4000, planned: true }),
    ];
    expect(raisedBy(events)).toEqual([`rising-loss:l0 at ${onDay(40)}`]);
  });

  it('counts what was poured in between, not to the mark', () => {
    const events = [
      levelCheck('l0', 0, 0, { km: 0 }),
      topUp('t1', 10, 0.5, { km: 1000, planned: true, toMark: false }),
      levelCheck('l1', 20, 0.1, { km: 2000 }),
      levelCheck('l2', 40, 0.7, { km: 4000 }),
    ];
    expect(raisedBy(events)).toEqual([`rising-loss:l0 at ${onDay(40)}`]);
  });

  it('is not found in a usual loss of 0.05 L/1,000 km over 40,000 km', () => {
    expect(raisedBy(levels(Array.from({ length: 21 }, (_, index) => 0.1 * index)))).toEqual([]);
  });

  it('is judged by what the cohort usually loses', () => {
    expect(raisedBy(levels([0, 0.6, 1.2]), { mu0: 0.25, sigma: 0.05 })).toEqual([]);
  });

  // 2,000 km ≙ 50 h (1,000 km ≙ 25 h, common practice).
  it('is found by engine hours where distance is unknown', () => {
    const events = [0, 0.6, 1.2].map((belowMarkL, index) =>
      levelCheck(`l${index}`, 20 * index, belowMarkL, { hours: 50 * index }),
    );
    expect(raisedBy(events)).toEqual([`rising-loss:l0 at ${onDay(40)}`]);
  });

  it('is not judged where usage is unknown', () => {
    const events = [0, 0.6, 1.2].map((belowMarkL, index) => levelCheck(`l${index}`, 20 * index, belowMarkL));
    expect(raisedBy(events)).toEqual([]);
  });

  it('counts the loss up to a level of unknown usage in the next', () => {
    const events = [
      levelCheck('l0', 0, 0, { km: 0 }),
      levelCheck('lx', 10, 0.3),
      levelCheck('l1', 20, 0.6, { km: 2000 }),
      levelCheck('l2', 40, 1.2, { km: 4000 }),
    ];
    expect(raisedBy(events)).toEqual([`rising-loss:l0 at ${onDay(40)}`]);
  });

  it('does not take the settling after a fill for loss', () => {
    // 0.5 L gone by the first level, which lies within two heat cycles (2 days, 100 km: common
    // practice) and so does not count.
    const events = [
      fill('f', 0, { km: 0 }),
      levelCheck('l0', 1, 0, { km: 50 }),
      levelCheck('l1', 4, 0.5, { km: 400 }),
      levelCheck('l2', 20, 0.5, { km: 2000 }),
    ];
    expect(raisedBy(events)).toEqual([]);
    const trend = lossTrend(vehicle(events), LOSS_DEFAULTS, onDay(30));
    expect(trend.lossPer1000Km.map((point) => point.lossL)).toEqual([0]);
  });

  // After a repair as at the start: 1.4368. Over a fill the sum goes on, and so does the rate,
  // known by then as 0.019957 with variance 0.00038627:
  // (0.6 − 2·0.019957)/√(0.045 + 4·0.00038627) = 2.5960; S = 1.4368 + 2.5960 − 1.25 = 2.7828.
  it('begins anew with a repair, and goes on over a mere fill', () => {
    const sum = (between: LossFact) => {
      const events = [
        ...levels([0, 0.6]),
        between,
        levelCheck('m0', 30, 0, { km: 3000 }),
        levelCheck('m1', 50, 0.6, { km: 5000 }),
      ];
      return lossTrend(vehicle(events), LOSS_DEFAULTS, onDay(100)).cusum.at(-1)?.value;
    };
    expect(sum(job('j', 25, [line('water-pump')], { km: 2500 }))).toBeCloseTo(1.4368, 3);
    expect(sum(job('j', 25, [line('hose-clamp', 'adjust')], { km: 2500 }))).toBeCloseTo(1.4368, 3);
    expect(sum(fill('f', 25, { km: 2500 }))).toBeCloseTo(2.7828, 3);
  });

  // No air is trapped by tightening a clamp, so that the level read right after it counts.
  it('waits for trapped air only where the circuit was opened', () => {
    const after = (work: JobLine) => [
      job('j', 0, [work], { km: 0 }),
      levelCheck('l0', 0.1, 0, { km: 10 }),
      levelCheck('l1', 20, 0.6, { km: 2010 }),
      levelCheck('l2', 40, 1.2, { km: 4010 }),
    ];
    expect(raisedBy(after(line('hose-clamp', 'adjust')))).toEqual([`rising-loss:l0 at ${onDay(40)}`]);
    expect(raisedBy(after(line('lower-hose')))).toEqual([]);
  });
});
