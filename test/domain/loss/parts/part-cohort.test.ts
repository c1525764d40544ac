import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import { watchPartLots } from '../../../../src/domain/loss/parts/part-cohort.js';
import type { PartFitting } from '../../../../src/domain/loss/parts/part-exposure.js';
import { binomialUpperTail } from '../../../../src/domain/statistics/binomial-tail.js';
import { english, englishIn } from '../../../support/english.js';
import { action, onDay } from '../facts.js';

describe('the binomial tail', () => {
  // By hand: P(X ≥ 3) for n = 4, p = ½ is (4 + 1)/16; P(X ≥ 1) = 1 − 0.9¹⁰ = 0.6513215599.
  it.each([
    [3, 4, 0.5, 0.3125],
    [1, 10, 0.1, 0.6513215599],
    [0, 10, 0.1, 1],
    [10, 10, 0.1, 1e-10],
    [11, 10, 0.1, 0],
    [2, 3, 1, 1],
    [1, 3, 0, 0],
  ])('P(X ≥ %d), n = %d, p = %d is %d', (k, n, p, expected) => {
    expect(binomialUpperTail(k, n, p)).toBeCloseTo(expected, 10);
  });
  it('knows no probability above 1', () => {
    expect(() => binomialUpperTail(1, 2, 1.1)).toThrow('probability-outside-0-to-1');
  });
});

/** A pump fitted on day 0 in a vehicle that runs 36,500 km a year, watched for a year. */
function pump(
  vehicleId: string,
  lot: string | null,
  alertDays: number[],
  more: Partial<PartFitting> = {},
): PartFitting {
  return {
    factId: `job-${vehicleId}`,
    vehicleId,
    component: 'water-pump',
    partNumber: 'P1',
    lot,
    fittedAt: onDay(0),
    fittedOdometerKm: 10_000,
    lastAt: onDay(365),
    lastOdometerKm: 46_500,
    isRemoved: false,
    alertsRaisedAt: alertDays.map(onDay),
    ...more,
  };
}

/** Three of lot A with an alert on days 100, 101, 102, and twenty-seven of lot B without. */
const STRUCK = [1, 2, 3].map((n) => pump(`a${n}`, 'A', [99 + n]));
const SOUND = Array.from({ length: 27 }, (_, n) => pump(`b${n}`, 'B', []));

function watch(fittings: PartFitting[], actions: ReturnType<typeof action>[] = [], asOfDay = 365) {
  return watchPartLots({ fittings, actions }, LOSS_DEFAULTS, onDay(asOfDay));
}

describe('a part lot', () => {
  it('is found when its share of alerts exceeds its share of kilometres', () => {
    const [episode, ...others] = watch([...STRUCK, ...SOUND]);
    expect(others).toEqual([]);
    // 10,000 km are 6,214 mi.
    expect(englishIn('us', episode!.evidence[0]!.message)).toBe(
      'Fitted: water pump from batch A. First alert after 6,214 mi.',
    );
    expect(english(episode!.checkNext[1]!)).toMatch(/^Stock of the same batch/);
    // On day 102: lot A ran (100 + 101 + 102)·100 km = 30,300 km, lot B 27·10,200 = 275,400 km; p =
    // 30,300/305,700 = 9.9117 %.
    // P(3 of 3) = 0.099117³ = 0.00097374; at a third alert 0.01·3/(3·4) = 0.0025 is allowed, for
    // each of 2 lots 0.00125.
    expect(episode).toMatchObject({
      key: 'part-cohort:water-pump:P1:A:job-a1',
      kind: 'part-cohort',
      vehicleId: null,
      members: ['a1', 'a2', 'a3'],
      status: 'raised',
      raisedAt: onDay(102),
    });
    expect(episode?.computed['p']).toBeCloseTo(0.00097374, 8);
    expect(episode?.computed['shareOfDistancePercent']).toBeCloseTo(9.9117, 4);
    expect(episode?.computed['pLimit']).toBeCloseTo(0.00125, 12);
  });

  it('is not known before the alert that shows it', () => {
    expect(watch([...STRUCK, ...SOUND], [], 101.9)).toEqual([]);
  });

  it('is not found on two vehicles, however rare the lot', () => {
    const many = Array.from({ length: 500 }, (_, n) => pump(`b${n}`, 'B', []));
    expect(watch([...STRUCK.slice(1), ...many])).toEqual([]);
  });

  it('counts a vehicle once, however many alerts it had', () => {
    const many = Array.from({ length: 500 }, (_, n) => pump(`b${n}`, 'B', []));
    expect(watch([pump('a1', 'A', [10, 20, 30, 40]), pump('a2', 'A', [50]), ...many])).toEqual([]);
  });

  it('is not found when the other lots have their share of alerts too', () => {
    const alsoStruck = SOUND.map((fitting, n) => ({
      ...fitting,
      alertsRaisedAt: n < 20 ? [onDay(50 + n)] : [],
    }));
    expect(watch([...STRUCK, ...alsoStruck])).toEqual([]);
  });

  it('is compared with parts of unknown lot, which are never accused themselves', () => {
    const unknown = SOUND.map((fitting) => ({ ...fitting, lot: null }));
    expect(watch([...STRUCK, ...unknown])).toHaveLength(1);
    const struckUnknown = STRUCK.map((fitting) => ({ ...fitting, lot: null }));
    expect(watch([...struckUnknown, ...SOUND])).toEqual([]);
  });

  it('is judged more strictly the more lots are tested', () => {
    const lots = SOUND.map((fitting, n) => ({ ...fitting, lot: `B${n}` }));
    expect(watch([...STRUCK, ...lots])).toEqual([]);
  });

  it('is not charged with alerts from before it was fitted or after it came out', () => {
    const before = STRUCK.map((fitting) => ({ ...fitting, alertsRaisedAt: [onDay(-1)] }));
    const after = STRUCK.map((fitting) => ({
      ...fitting,
      isRemoved: true,
      lastAt: onDay(50),
      lastOdometerKm: 15_000,
    }));
    expect(watch([...before, ...SOUND])).toEqual([]);
    expect(watch([...after, ...SOUND])).toEqual([]);
  });

  it('takes in further vehicles, and is cleared by a manager only', () => {
    const fourth = pump('a4', 'A', [200]);
    // With it lot A ran 40,500 km of 591,300 on day 102: 0.068493³ = 0.000321 < 0.00125.
    const sound = [...SOUND, ...SOUND.map((fitting) => pump(`c${fitting.vehicleId}`, 'B', []))];
    const key = 'part-cohort:water-pump:P1:A:job-a1';
    const [open] = watch([...STRUCK, fourth, ...sound]);
    expect(open?.members).toEqual(['a1', 'a2', 'a3', 'a4']);
    expect(watch([...STRUCK, fourth, ...sound], [action(150, key, 'clear')])).toMatchObject([
      { status: 'cleared', clearedBy: 'manager', members: ['a1', 'a2', 'a3'] },
    ]);
  });

  it('does not depend on the order of the fittings', () => {
    expect(watch([...SOUND, ...STRUCK].reverse())).toEqual(watch([...STRUCK, ...SOUND]));
  });
});
