import { watchVehicle } from '../../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import type { LossFact, VehicleFacts } from '../../../../src/domain/loss/facts/types.js';
import {
  strengthAfterTopUp,
  unrecordedWaterBounds,
} from '../../../../src/domain/loss/rules/unrecorded-water.js';
import { english, englishIn } from '../../../support/english.js';
import { refusalOf } from '../../../support/refusal.js';
import { fill, freezePoint, job, line, onDay, topUp, vehicle } from '../facts.js';

describe('the expected strength', () => {
  // Conservation of glycol, by hand: (50·(10 − 1) + 0·1)/10 = 45; the uncertainty shrinks by the
  // same 9/10.
  it('falls with a top-up of water', () => {
    expect(strengthAfterTopUp({ percent: 50, uncertaintyPercent: 1 }, 1, 0, 10)).toEqual({
      percent: 45,
      uncertaintyPercent: 0.9,
    });
  });
  // (40·(12 − 3) + 100·3)/12 = 660/12 = 55.
  it('rises with concentrate', () => {
    expect(strengthAfterTopUp({ percent: 40, uncertaintyPercent: 0 }, 3, 100, 12).percent).toBeCloseTo(55, 9);
  });
  it('expects the least where the strength of a top-up is unknown', () => {
    expect(strengthAfterTopUp({ percent: 50, uncertaintyPercent: 1 }, 1, null, 10).percent).toBe(45);
  });
  it('is that of the top-up where as much is poured in as the system holds', () => {
    expect(strengthAfterTopUp({ percent: 50, uncertaintyPercent: 1 }, 11, 30, 10)).toEqual({
      percent: 30,
      uncertaintyPercent: 0,
    });
  });
});

describe('the bounds of unrecorded water', () => {
  // By hand, 12 L, 50 → 45 %: 12·(1 − 0.9) = 1.2 L; 12·ln(50/45) = 12·0.1053605 = 1.264326 L;
  // U = (12/50)·√(0.6² + (0.9·0.6)²) = 0.24·√(0.36 + 0.2916) = 0.24·0.807217 = 0.193732 L.
  it('lie between one replacement in one go and a slow one', () => {
    const bounds = unrecordedWaterBounds(
      { percent: 50, uncertaintyPercent: 0.6 },
      { percent: 45, uncertaintyPercent: 0.6 },
      12,
    );
    expect(bounds.atLeastL).toBeCloseTo(1.2, 9);
    expect(bounds.atMostL).toBeCloseTo(1.264326, 6);
    expect(bounds.uncertaintyL).toBeCloseTo(0.193732, 6);
  });
  it('hold the truth when 1 L is lost and replaced by water in ten steps of 0.1 L', () => {
    let percent = 50;
    for (let step = 0; step < 10; step++) percent = (percent * (12 - 0.1)) / 12;
    const bounds = unrecordedWaterBounds(
      { percent: 50, uncertaintyPercent: 0 },
      { percent, uncertaintyPercent: 0 },
      12,
    );
    expect(bounds.atLeastL).toBeLessThan(1);
    expect(bounds.atMostL).toBeGreaterThan(1);
  });
  it('do not exist for plain water', () => {
    const none = { percent: 0, uncertaintyPercent: 1 };
    const refused = refusalOf(() => unrecordedWaterBounds({ percent: 50, uncertaintyPercent: 1 }, none, 12));
    expect([refused.field, english(refused.detail)]).toEqual([
      'measured',
      'Strengths of 50 % and 0 % cannot be compared: both must be above 0.',
    ]);
  });
});

function raisedBy(events: LossFact[], more: Partial<VehicleFacts> = {}) {
  const episodes = watchVehicle(vehicle(events, more), LOSS_DEFAULTS, onDay(1000));
  return episodes.filter((episode) => episode.kind === 'unrecorded-water');
}

// 12 L at 50 %, both readings ± 0.6 %: the limit is 3 % of 12 L = 0.36 L (common practice, no
// source).
describe('unrecorded water', () => {
  const first = freezePoint('s1', 0, 50, { km: 1000 });
  const cases: { name: string; events: LossFact[]; raised: string[] }[] = [
    {
      // 1.2 − 0.194 = 1.006 > 0.36
      name: 'is found where the strength fell from 50 to 45 % with nothing recorded',
      events: [first, freezePoint('s2', 60, 45, { km: 6000 })],
      raised: ['unrecorded-water:s1'],
    },
    {
      // 12·(1 − 47.8/50) = 0.528; U = 0.24·√(0.36 + (0.956·0.6)²) = 0.24·0.83006 = 0.19921; 0.3288
      // ≤ 0.36
      name: 'is not found within 3 % of capacity and the uncertainty of both readings',
      events: [first, freezePoint('s2', 60, 47.8, { km: 6000 })],
      raised: [],
    },
    {
      // 12·(1 − 47.6/50) = 0.576; U = 0.24·√(0.36 + (0.952·0.6)²) = 0.24·0.82839 = 0.19881; 0.3772
      // > 0.36
      name: 'is found just beyond that',
      events: [first, freezePoint('s2', 60, 47.6, { km: 6000 })],
      raised: ['unrecorded-water:s1'],
    },
    {
      // C* = 50·(12 − 1.2)/12 = 45
      name: 'is not found where recorded water explains it',
      events: [
        first,
        topUp('t', 10, 1.2, { strengthPercent: 0, km: 2000 }),
        freezePoint('s2', 60, 45, { km: 6000 }),
      ],
      raised: [],
    },
    {
      // Concentrate would have raised it: C* = (50·11 + 100·1)/12 = 54.17; 12·(1 − 50/54.17) =
      // 0.923; − U 0.19 > 0.36
      name: 'is found behind a recorded top-up of concentrate',
      events: [
        first,
        topUp('t', 10, 1, { strengthPercent: 100, km: 2000 }),
        freezePoint('s2', 60, 50, { km: 6000 }),
      ],
      raised: ['unrecorded-water:s1'],
    },
    {
      name: 'is not judged from a test strip, as first or as second reading',
      events: [
        freezePoint('s0', 0, 60, { km: 900, method: 'test-strip' }),
        freezePoint('s1', 1, 50, { km: 1000 }),
        freezePoint('s2', 60, 40, { km: 6000, method: 'test-strip' }),
      ],
      raised: [],
    },
    {
      name: 'is not judged within 50 km of a top-up',
      events: [first, topUp('t', 59, 0.1, { km: 5951 }), freezePoint('s2', 60, 40, { km: 6000 })],
      raised: [],
    },
    {
      name: 'is judged 50 km after a top-up',
      events: [first, topUp('t', 59, 0.1, { km: 5950 }), freezePoint('s2', 60, 40, { km: 6000 })],
      raised: ['unrecorded-water:s1'],
    },
    {
      name: 'is judged 1.25 h after a top-up where only engine hours are known',
      events: [
        freezePoint('s1', 0, 50, { hours: 10 }),
        topUp('t', 59, 0.1, { hours: 100 }),
        freezePoint('s2', 59.1, 40, { hours: 101.2 }),
        freezePoint('s3', 59.2, 40, { hours: 101.25 }),
      ],
      raised: ['unrecorded-water:s1'],
    },
    {
      name: 'is judged a day after a top-up where usage is unknown',
      events: [
        freezePoint('s1', 0, 50),
        topUp('t', 59, 0.1),
        freezePoint('s2', 59.9, 40),
        freezePoint('s3', 60, 40),
      ],
      raised: ['unrecorded-water:s1'],
    },
    {
      name: 'is not judged from an unmixed reservoir',
      events: [first, freezePoint('s2', 60, 40, { km: 6000, mixed: false })],
      raised: [],
    },
    {
      name: 'is forgotten with a fill, and counted from the first mixed reading after it',
      events: [
        first,
        fill('f', 30, { km: 4000 }),
        freezePoint('s2', 30, 30, { km: 4000 }),
        freezePoint('s3', 60, 44, { km: 6000 }),
        freezePoint('s4', 90, 39, { km: 9000 }),
      ],
      raised: ['unrecorded-water:s3'],
    },
    {
      name: 'is forgotten where coolant was replaced and the fill not recorded',
      events: [first, job('j', 30, [line('coolant')], { km: 4000 }), freezePoint('s2', 60, 40, { km: 6000 })],
      raised: [],
    },
    {
      name: 'is never seen in a strength that rose or cannot be told',
      events: [first, freezePoint('s2', 60, 55, { km: 6000 }), freezePoint('s3', 70, null, { km: 7000 })],
      raised: [],
    },
  ];
  it.each(cases)('$name', ({ events, raised }) => {
    expect(raisedBy(events).map((episode) => episode.key)).toEqual(raised);
  });

  it('is told in litres, at least and at most', () => {
    const [episode] = raisedBy([first, freezePoint('s2', 60, 45, { km: 6000 })]);
    expect(episode?.computed).toEqual({
      expectedStrengthPercent: 50,
      measuredStrengthPercent: 45,
      waterAtLeast: { measure: 'volume', value: expect.closeTo(1.2, 9) },
      waterAtLeastUncertainty: { measure: 'volume', value: expect.closeTo(0.193732, 6) },
      waterAtMost: { measure: 'volume', value: expect.closeTo(1.264326, 6) },
    });
  });

  it('says what was measured and poured in, in whole percent and in the reader’s units', () => {
    const [episode] = raisedBy([
      first,
      topUp('t', 30, 1.2, { strengthPercent: 0, km: 3000 }),
      freezePoint('s2', 60, 38, { km: 6000 }),
    ]);
    const told = (units: 'us' | 'si') => episode?.evidence.map(({ message }) => englishIn(units, message));
    // Of 12 L at 50 % 1.2 L became water: 45 % is expected. 1.2 L is 1.27 qt.
    expect(told('us')).toEqual([
      'Strength measured before: 50 % by refractometer.',
      '1.5 qt of water added.',
      'Expected 45 %, measured 38 % by refractometer.',
    ]);
    expect(told('si')?.[1]).toBe('1.2 L of water added.');
  });

  it('is not judged where the capacity is unknown', () => {
    expect(raisedBy([first, freezePoint('s2', 60, 40, { km: 6000 })], { sheet: null })).toEqual([]);
  });
});
