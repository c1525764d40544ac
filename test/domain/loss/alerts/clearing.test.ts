import { watchVehicle } from '../../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import type { LossFact, VehicleFacts } from '../../../../src/domain/loss/facts/types.js';
import { english } from '../../../support/english.js';
import { refusalOf } from '../../../support/refusal.js';
import {
  action,
  fill,
  freezePoint,
  holdTest,
  job,
  levelCheck,
  line,
  onDay,
  topUp,
  vehicle,
} from '../facts.js';

/** Two top-ups of 0.4 L in a 12 L system: raised on day 10. */
const LOSING: LossFact[] = [topUp('a', 0, 0.4, { km: 0 }), topUp('b', 10, 0.4, { km: 1000 })];
const REPAIR = job('r', 20, [line('lower-hose')], { km: 2000 });
const KEY = 'repeat-top-ups:a';

function watch(events: LossFact[], asOfDay = 500) {
  return watchVehicle(vehicle(events), LOSS_DEFAULTS, onDay(asOfDay));
}

describe('proof of a repair', () => {
  const pressure = (id: string, day: number, more = {}) => holdTest(id, day, { method: 'pressure', ...more });
  const cases: { name: string; events: LossFact[]; clearedAt: string | null }[] = [
    {
      name: 'is a pressure test passed at the cap’s rating in the same job',
      events: [REPAIR, pressure('h', 20)],
      clearedAt: onDay(20),
    },
    { name: 'is such a test later on', events: [REPAIR, pressure('h', 30)], clearedAt: onDay(30) },
    { name: 'is not a vacuum pass', events: [REPAIR, holdTest('h', 20)], clearedAt: null },
    {
      name: 'is not a vacuum pass said to be at the cap’s rating',
      events: [REPAIR, holdTest('h', 20, { atCapRating: true })],
      clearedAt: null,
    },
    {
      name: 'is not a pressure pass below the cap’s rating',
      events: [REPAIR, pressure('h', 20, { atCapRating: false })],
      clearedAt: null,
    },
    {
      name: 'is not an inconclusive pressure test',
      events: [REPAIR, pressure('h', 20, { verdict: 'inconclusive' })],
      clearedAt: null,
    },
    { name: 'is not a pressure pass without a repair', events: [pressure('h', 20)], clearedAt: null },
    {
      name: 'is not a pressure pass before the repair',
      events: [pressure('h', 19), REPAIR],
      clearedAt: null,
    },
    {
      name: 'needs a repair of the circuit, not of the belt drive',
      events: [job('r', 20, [line('drive-belt')]), pressure('h', 20)],
      clearedAt: null,
    },
    {
      name: 'needs more than new coolant',
      events: [job('r', 20, [line('coolant')]), pressure('h', 20)],
      clearedAt: null,
    },
    {
      name: 'needs a repair after the last evidence',
      events: [REPAIR, topUp('c', 25, 0.4, { km: 2500 }), pressure('h', 30)],
      clearedAt: null,
    },
    {
      name: 'is a cold level at the mark after 7 days and 500 km',
      events: [REPAIR, levelCheck('l', 27, 0, { km: 2500 })],
      clearedAt: onDay(27),
    },
    {
      name: 'is no level within 7 days',
      events: [REPAIR, levelCheck('l', 26.9, 0, { km: 2500 })],
      clearedAt: null,
    },
    {
      name: 'is no level within 500 km',
      events: [REPAIR, levelCheck('l', 27, 0, { km: 2499 })],
      clearedAt: null,
    },
    {
      name: 'is a level after 10 engine hours',
      events: [job('r', 20, [line('lower-hose')], { hours: 50 }), levelCheck('l', 27, 0, { hours: 60 })],
      clearedAt: onDay(27),
    },
    {
      name: 'goes by days alone where usage is unknown',
      events: [REPAIR, levelCheck('l', 27, 0)],
      clearedAt: onDay(27),
    },
    {
      name: 'is no level read warm',
      events: [REPAIR, levelCheck('l', 27, 0, { km: 2500, warm: true })],
      clearedAt: null,
    },
    {
      name: 'is no level below the mark by more than its noise',
      events: [REPAIR, levelCheck('l', 27, 0.16, { km: 2500 })],
      clearedAt: null,
    },
    {
      name: 'is no level that was poured',
      events: [REPAIR, topUp('c', 26, 0.1, { km: 2400 }), levelCheck('l', 27, 0, { km: 2500 })],
      clearedAt: null,
    },
    {
      name: 'is a level after what settled was filled up',
      events: [
        REPAIR,
        fill('f', 20, { km: 2000 }),
        topUp('c', 23, 0.3, { km: 2200 }),
        levelCheck('l', 27, 0, { km: 2500 }),
      ],
      clearedAt: onDay(27),
    },
  ];
  it.each(cases)('$name', ({ events, clearedAt }) => {
    const [episode] = watch([...LOSING, ...events]);
    expect(episode).toMatchObject({
      key: KEY,
      status: clearedAt === null ? 'raised' : 'cleared',
      clearedAt,
      clearedBy: clearedAt === null ? null : 'proof',
    });
  });

  it('is no level that was poured, even where the top-up is no evidence of this kind', () => {
    const events = [
      freezePoint('s1', 1, 50, { km: 100 }),
      freezePoint('s2', 19, 40, { km: 1900 }),
      REPAIR,
      topUp('c', 26, 0.1, { km: 2400 }),
    ];
    const level = levelCheck('l', 27, 0, { km: 2500 });
    expect(watch([...events, level])).toMatchObject([{ kind: 'unrecorded-water', status: 'raised' }]);
    expect(watch([...events.slice(0, 3), level])).toMatchObject([
      { kind: 'unrecorded-water', status: 'cleared' },
    ]);
  });

  it('clears the losses that are open, each kind for itself', () => {
    const events = [
      ...LOSING,
      freezePoint('s1', 1, 50, { km: 100 }),
      freezePoint('s2', 19, 40, { km: 1900 }),
      REPAIR,
      pressure('h', 20, { km: 2000 }),
    ];
    expect(watch(events).map((episode) => [episode.kind, episode.status])).toEqual([
      ['repeat-top-ups', 'cleared'],
      ['unrecorded-water', 'cleared'],
    ]);
  });
});

describe('after clearing', () => {
  const cleared: LossFact[] = [...LOSING, REPAIR, holdTest('h', 20, { method: 'pressure', km: 2000 })];

  it('a loss within 30 days raises it again, marked as returned', () => {
    const episodes = watch([...cleared, topUp('c', 50, 0.2, { km: 5000 })]);
    expect(
      episodes.map(({ key, status, returned, raisedAt }) => ({ key, status, returned, raisedAt })),
    ).toEqual([
      { key: KEY, status: 'cleared', returned: false, raisedAt: onDay(10) },
      { key: 'repeat-top-ups:c', status: 'raised', returned: true, raisedAt: onDay(50) },
    ]);
  });

  it('a loss after 30 days is the first of its own', () => {
    expect(watch([...cleared, topUp('c', 50.1, 0.2, { km: 5000 })])).toHaveLength(1);
  });

  it('a planned top-up raises nothing', () => {
    expect(watch([...cleared, topUp('c', 30, 0.2, { km: 3000, planned: true })])).toHaveLength(1);
  });

  it('a cold level shows a return beyond the noise of two levels, 4·√2·0.15 = 0.85 L, from one level after clearing to the next', () => {
    const level = (belowMarkL: number) => [
      levelCheck('m1', 21, 0, { km: 2100 }),
      levelCheck('m2', 40, belowMarkL, { km: 4000 }),
    ];
    expect(watch([...cleared, ...level(0.8)])).toHaveLength(1);
    expect(watch([...cleared, ...level(0.9)])).toMatchObject([
      { status: 'cleared' },
      { key: 'repeat-top-ups:m2', returned: true },
    ]);
  });

  it('a loss since a level from before clearing is none', () => {
    const losing = [
      topUp('a', 0, 0.4),
      topUp('b', 10, 0.4),
      levelCheck('m1', 11, 0),
      action(12, KEY, 'clear'),
    ];
    expect(watch([...losing, levelCheck('m2', 20, 0.9)])).toHaveLength(1);
    expect(watch([...losing, levelCheck('m2', 13, 0), levelCheck('m3', 20, 0.9)])).toHaveLength(2);
  });

  it('a large loss that was cleared is taken off what adds up later', () => {
    // 0.7 + 0.6 = 1.3 L ≥ 1.2 L is raised and cleared; 0.1 L more does not make 1.4 L, 1.2 L more
    // make 1.3 L.
    const large = [
      levelCheck('l0', 0, 0),
      topUp('a', 100, 0.7, { toMark: false }),
      topUp('b', 200, 0.6, { toMark: false }),
      action(201, 'repeat-top-ups:b', 'clear'),
      topUp('c', 300, 0.1, { toMark: false }),
    ];
    expect(watch(large)).toHaveLength(1);
    expect(watch([...large, topUp('d', 400, 1.2, { toMark: false })])).toHaveLength(2);
  });

  it('what was evidence before does not count again', () => {
    const events = [...LOSING, action(11, KEY, 'clear'), topUp('c', 50, 0.4, { km: 5000 })];
    expect(watch(events)).toMatchObject([{ status: 'cleared', clearedBy: 'manager' }]);
  });

  it('a hold test that fails again raises it again under another key', () => {
    const events = [
      holdTest('p', 0),
      holdTest('f1', 10, { verdict: 'fail' }),
      action(11, 'weakening-hold:p', 'clear'),
      holdTest('f2', 20, { verdict: 'fail' }),
    ];
    expect(watch(events).map(({ key, returned }) => ({ key, returned }))).toEqual([
      { key: 'weakening-hold:p', returned: false },
      { key: 'weakening-hold:f2', returned: true },
    ]);
  });

  it('unrecorded water is counted from the reading that had shown it', () => {
    const events = [
      freezePoint('s1', 0, 50, { km: 0 }),
      freezePoint('s2', 10, 45, { km: 1000 }),
      action(11, 'unrecorded-water:s1', 'clear'),
      freezePoint('s3', 20, 45, { km: 2000 }),
      freezePoint('s4', 60, 41, { km: 6000 }),
    ];
    expect(watch(events).map(({ key, raisedAt }) => [key, raisedAt])).toEqual([
      ['unrecorded-water:s1', onDay(10)],
      ['unrecorded-water:s4', onDay(60)],
    ]);
  });
});

describe('unrecorded water, cleared after a further top-up,', () => {
  it('is not counted from the strength before that top-up', () => {
    const events = [
      freezePoint('s1', 0, 50, { km: 0 }),
      freezePoint('s2', 10, 45, { km: 1000 }),
      topUp('t', 11, 1.1, { km: 1100, strengthPercent: 0, planned: true }),
      action(12, 'unrecorded-water:s1', 'clear'),
      // 45·(12 − 1.1)/12 = 40.9: what was recorded explains it.
      freezePoint('s3', 20, 40.9, { km: 2000 }),
    ];
    expect(watch(events)).toHaveLength(1);
  });
});

describe('an alert', () => {
  it('takes in new evidence while it is open', () => {
    const [episode, ...others] = watch([...LOSING, topUp('c', 20, 0.5, { km: 2000 })]);
    expect(others).toEqual([]);
    expect(episode?.key).toBe(KEY);
    expect(episode?.raisedAt).toBe(onDay(10));
    expect(episode?.evidence.map((entry) => entry.factId)).toEqual(['a', 'b', 'c']);
    expect(episode?.computed['topUps']).toBe(3);
  });

  it('is acknowledged, and stays so when evidence joins', () => {
    const events = [...LOSING, action(11, KEY, 'acknowledge'), topUp('c', 20, 0.5, { km: 2000 })];
    expect(watch(events)).toMatchObject([{ status: 'acknowledged' }]);
  });

  it('is shelved until its end date and then raised', () => {
    const events = [...LOSING, action(11, KEY, 'shelve', 25)];
    expect(watch(events, 24.9)).toMatchObject([{ status: 'shelved', shelvedUntil: onDay(25) }]);
    expect(watch(events, 25)).toMatchObject([{ status: 'raised', shelvedUntil: null }]);
  });

  it('is not shelved for good', () => {
    const refusal = (until?: number) =>
      english(refusalOf(() => watch([...LOSING, action(11, KEY, 'shelve', until)])).detail);
    expect(refusal()).toBe(`Shelving needs an end. Give a time after ${onDay(11)}.`);
    expect(refusal(11)).toBe(
      `Shelving until ${onDay(11)} would end before it begins. Give a time after ${onDay(11)}.`,
    );
  });

  it('is cleared by proof though shelved or acknowledged', () => {
    const events = [
      ...LOSING,
      action(11, KEY, 'shelve', 400),
      REPAIR,
      holdTest('h', 20, { method: 'pressure', km: 2000 }),
    ];
    expect(watch(events, 100)).toMatchObject([{ status: 'cleared', clearedBy: 'proof', shelvedUntil: null }]);
  });

  it('keeps what people did when a late fact becomes its first evidence', () => {
    const late = topUp('z', -5, 0.3, { km: -500 });
    const events = [...LOSING, action(11, KEY, 'acknowledge'), late];
    expect(watch(events)).toMatchObject([{ key: 'repeat-top-ups:z', status: 'acknowledged' }]);
  });

  it('heeds no action on another alert', () => {
    expect(
      watch([...LOSING, action(11, 'repeat-top-ups:x', 'clear'), action(12, 'rising-loss:a', 'clear')]),
    ).toMatchObject([{ status: 'raised' }]);
  });
});

describe('the watch', () => {
  it('refuses an instant without offset and a capacity of nothing', () => {
    const refusal = (facts: VehicleFacts, asOf: string) =>
      english(refusalOf(() => watchVehicle(facts, LOSS_DEFAULTS, asOf)).detail);
    expect(refusal(vehicle([]), '2026-04-01T00:00:00')).toMatch(/"2026-04-01T00:00:00" is not an instant/);
    const sheet = { capacityL: 0, base: 'ethylene-glycol', technology: null };
    expect(refusal(vehicle([], { sheet }), onDay(0))).toBe(
      'A capacity of 0 L is not possible: it must be above 0.',
    );
  });
});
