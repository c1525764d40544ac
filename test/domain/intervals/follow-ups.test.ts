import fc from 'fast-check';
import type { Evaluation, Verdict } from '../../../src/domain/evaluation.js';
import { followUpLine } from '../../../src/domain/intervals/follow-up-line.js';
import { followUpsOf } from '../../../src/domain/intervals/follow-ups.js';
import { readDueLine, stateOn } from '../../../src/domain/intervals/due-state.js';
import type {
  FollowUpContext,
  FollowUpJob,
  FollowUpReading,
  OpenFollowUp,
  WorkLine,
} from '../../../src/domain/intervals/types.js';
import type { ReadingKind } from '../../../src/domain/readings.js';
import { DAY, noon, outlookOf } from './due-fixtures.js';

const HOUR = DAY / 24;
const T = noon('2026-04-02');
const job = (id: string, at: number, lines: string[], isBaseline = false): FollowUpJob => ({
  id,
  at,
  isBaseline,
  lines: lines.map((line) => {
    const [component, action, item] = line.split('/');
    return { component, action, item: item ?? null } as WorkLine;
  }),
});
const reading = (
  id: string,
  at: number,
  kind: ReadingKind,
  verdict: Verdict | null,
  { computed = {}, ...rest }: Partial<FollowUpReading> & { computed?: Evaluation['computed'] } = {},
): FollowUpReading => ({ id, jobId: null, kind, at, evaluation: { verdict, computed }, ...rest });
const kinds = (followUps: OpenFollowUp[]) =>
  followUps.map(
    ({ component, action, item, urgency }) => `${component}/${action}${item ? `/${item}` : ''} ${urgency}`,
  );

// Which fact opens and closes which follow-up: common practice, no source.
describe('what opens a follow-up', () => {
  it.each([
    ['coolant/replace', ['coolant/recheck recheck']],
    ['coolant/flush', ['coolant/recheck recheck']],
    ['water-pump/replace', ['coolant/recheck recheck']],
    ['lower-hose/replace', ['coolant/recheck recheck']],
    ['water-pump/inspect', []],
    ['drive-belt/replace', []],
    ['coolant/test', []],
    ['radiator-cap/replace', []],
  ])('a job with %s: %j', (line, expected) => {
    expect(kinds(followUpsOf([job('j', T, [line])], []))).toEqual(expected);
  });

  it.each([
    ['hold-test', 'fail', ['coolant/test at-once']],
    ['hold-test', 'inconclusive', ['coolant/test soon']],
    ['hold-test', 'pass', []],
    ['freeze-point', 'fail', ['coolant/adjust at-once']],
    ['freeze-point', 'inconclusive', ['coolant/adjust soon']],
    ['warm-up-check', 'fail', ['coolant/recheck recheck']],
    ['warm-up-check', 'inconclusive', []],
    ['level-check', 'fail', ['coolant/recheck recheck']],
    ['fill', 'pass', ['coolant/recheck recheck']],
    ['belt-check', 'fail', ['drive-belt/adjust at-once']],
    ['belt-check', 'inconclusive', []],
    ['torque-set', 'fail', []],
    ['level-check', null, []],
  ] as const)('a %s with verdict %s: %j', (kind, verdict, expected) => {
    expect(kinds(followUpsOf([], [reading('r', T, kind, verdict)]))).toEqual(expected);
  });

  it.each([
    ['another base: replace the coolant', 'fail', { otherBase: true }, ['coolant/replace at-once']],
    [
      'another base in a fill',
      'fail',
      { otherBase: true, shortensCoolantLife: true },
      ['coolant/replace at-once'],
    ],
    [
      'more than a tenth of another technology: test it',
      null,
      { shortensCoolantLife: true },
      ['coolant/test soon'],
    ],
    ['water alone: test the strength at once', null, { strengthCheckDue: true }, ['coolant/test at-once']],
    ['both', null, { strengthCheckDue: true, shortensCoolantLife: true }, ['coolant/test at-once']],
    ['neither', null, { strengthCheckDue: false, shortensCoolantLife: false, otherBase: false }, []],
  ] as const)('what was poured in, %s', (_what, verdict, computed, expected) => {
    expect(kinds(followUpsOf([], [reading('r', T, 'top-up', verdict, { computed })]))).toEqual(expected);
  });

  it('nothing from a baseline report', () => {
    expect(followUpsOf([job('j', T, ['coolant/replace'], true)], [])).toEqual([]);
  });

  it('never a second of a kind; a worse cause makes the open one more urgent from then on', () => {
    const facts = [
      reading('a', T, 'hold-test', 'inconclusive'),
      reading('b', T + DAY, 'hold-test', 'fail'),
      reading('c', T + 2 * DAY, 'hold-test', 'inconclusive'),
    ];
    expect(followUpsOf([], facts)).toMatchObject([
      { action: 'test', sourceId: 'a', openedAt: T + DAY, urgency: 'at-once' },
    ]);
  });
});

describe('what closes a follow-up', () => {
  const opened = [job('j', T, ['water-pump/replace', 'coolant/replace'])];

  it('a recheck: a cold level check after a heat cycle', () => {
    const after = (at: number, rest: Partial<FollowUpReading> = {}) =>
      kinds(followUpsOf(opened, [reading('r', at, 'level-check', 'pass', rest)]));
    expect(after(T + DAY)).toEqual([]);
    expect(after(T + DAY, { engineCold: false })).toEqual(['coolant/recheck recheck']);
    expect(after(T + HOUR)).toEqual(['coolant/recheck recheck']);
    expect(after(T, { jobId: 'j' })).toEqual(['coolant/recheck recheck']);
  });

  it('a recheck: a level found low closes it and opens the next', () => {
    const followUps = followUpsOf(opened, [reading('r', T + 2 * DAY, 'level-check', 'fail')]);
    expect(followUps).toMatchObject([{ action: 'recheck', sourceId: 'r', openedAt: T + 2 * DAY }]);
  });

  it('a retest: a passed hold test, or a job line of the same kind', () => {
    const failed = reading('r', T, 'hold-test', 'fail');
    expect(kinds(followUpsOf([], [failed, reading('s', T + DAY, 'hold-test', 'pass')]))).toEqual([]);
    expect(kinds(followUpsOf([], [failed, reading('s', T + DAY, 'hold-test', 'inconclusive')]))).toEqual([
      'coolant/test at-once',
    ]);
    expect(kinds(followUpsOf([job('k', T + DAY, ['coolant/test'])], [failed]))).toEqual([]);
  });

  it('a strength check after water: any freeze point, and not a hold test', () => {
    const water = reading('w', T, 'top-up', null, { computed: { strengthCheckDue: true } });
    const after = (kind: ReadingKind, verdict: Verdict | null) =>
      kinds(followUpsOf([], [water, reading('s', T + DAY, kind, verdict)]));
    expect(after('hold-test', 'pass')).toEqual(['coolant/test at-once']);
    expect(after('freeze-point', 'pass')).toEqual([]);
    expect(after('freeze-point', null)).toEqual([]);
    expect(after('freeze-point', 'fail')).toEqual(['coolant/adjust at-once']);
  });

  it('a test of a mixed coolant: a condition that did not fail', () => {
    const mixed = reading('m', T, 'top-up', null, { computed: { shortensCoolantLife: true } });
    const after = (verdict: Verdict | null) =>
      kinds(followUpsOf([], [mixed, reading('s', T + DAY, 'coolant-condition', verdict)]));
    expect(after('pass')).toEqual([]);
    expect(after(null)).toEqual([]);
    expect(after('fail')).toEqual(['coolant/test soon']);
  });

  it('a test with two causes: both have to be settled, or a job line does it', () => {
    const facts = [
      reading('w', T, 'top-up', null, { computed: { strengthCheckDue: true } }),
      reading('h', T + DAY, 'hold-test', 'fail'),
    ];
    const strength = reading('f', T + 2 * DAY, 'freeze-point', 'pass');
    const held = reading('p', T + 3 * DAY, 'hold-test', 'pass');
    expect(kinds(followUpsOf([], [...facts, strength]))).toEqual(['coolant/test at-once']);
    expect(kinds(followUpsOf([], [...facts, held]))).toEqual(['coolant/test at-once']);
    expect(kinds(followUpsOf([], [...facts, strength, held]))).toEqual([]);
    expect(kinds(followUpsOf([job('k', T + 2 * DAY, ['coolant/test'])], facts))).toEqual([]);
  });

  it('a retest stays open when the test of the closing job fails again, as a new one', () => {
    const followUps = followUpsOf(
      [job('k', T + DAY, ['coolant/test'])],
      [reading('r', T, 'hold-test', 'fail'), reading('s', T + DAY, 'hold-test', 'fail', { jobId: 'k' })],
    );
    expect(followUps).toMatchObject([{ action: 'test', sourceId: 's' }]);
  });

  it('an adjustment: a passed freeze point, a passed belt check of that belt, new coolant', () => {
    const weak = reading('r', T, 'freeze-point', 'fail');
    expect(kinds(followUpsOf([], [weak, reading('s', T + DAY, 'freeze-point', 'pass')]))).toEqual([]);
    expect(kinds(followUpsOf([job('k', T + DAY, ['coolant/replace'])], [weak]))).toEqual([
      'coolant/recheck recheck',
    ]);
    const slack = reading('b', T, 'belt-check', 'fail', { item: 'fan' });
    expect(
      kinds(followUpsOf([], [slack, reading('s', T + DAY, 'belt-check', 'pass', { item: 'accessory' })])),
    ).toEqual(['drive-belt/adjust/fan at-once']);
    expect(
      kinds(followUpsOf([], [slack, reading('s', T + DAY, 'belt-check', 'pass', { item: 'fan' })])),
    ).toEqual([]);
    expect(kinds(followUpsOf([job('k', T + DAY, ['drive-belt/replace/fan'])], [slack]))).toEqual([]);
  });
});

describe('follow-ups of any history', () => {
  const someJob = fc.record({
    day: fc.nat(20),
    lines: fc.subarray(
      ['coolant/replace', 'coolant/test', 'coolant/adjust', 'water-pump/replace', 'drive-belt/adjust'],
      { minLength: 1 },
    ),
    isBaseline: fc.integer({ min: 0, max: 5 }).map((n) => n === 0),
  });
  const someReading = fc.record({
    day: fc.nat(20),
    kind: fc.constantFrom<ReadingKind[]>(
      'hold-test',
      'freeze-point',
      'level-check',
      'fill',
      'belt-check',
      'torque-set',
    ),
    verdict: fc.constantFrom<Verdict[]>('pass', 'fail', 'inconclusive'),
    ofJob: fc.option(fc.nat(5)),
  });

  it('are the same in whatever order the facts came, and never two of a kind', () => {
    fc.assert(
      fc.property(
        fc.array(someJob, { maxLength: 6 }),
        fc.array(someReading, { maxLength: 12 }),
        (jobs, readings) => {
          const allJobs = jobs.map(({ day, lines, isBaseline }, i) =>
            job(`j${i}`, T + day * DAY, lines, isBaseline),
          );
          const all = readings.map(({ day, kind, verdict, ofJob }, i) => {
            const parent = ofJob === null ? undefined : allJobs[ofJob];
            return reading(`r${i}`, parent?.at ?? T + day * DAY, kind, verdict, {
              jobId: parent?.id ?? null,
            });
          });
          const open = followUpsOf(allJobs, all);
          expect(followUpsOf([...allJobs].reverse(), [...all].reverse())).toEqual(open);
          const names = kinds(open).map((kind) => kind.split(' ')[0]);
          expect(new Set(names).size).toBe(names.length);
        },
      ),
    );
  });
});

describe('followUpLine', () => {
  const context = (rest: Partial<FollowUpContext> = {}): FollowUpContext => ({
    status: 'in-use',
    inUseSince: null,
    odometerLifetimeKmAtOpening: 10_000,
    engineHoursLifetimeAtOpening: null,
    distance: outlookOf({ '2026-04-02': 10_000 }, 20),
    engineHours: null,
    timeZone: 'UTC',
    ...rest,
  });
  const seed = (
    urgency: OpenFollowUp['urgency'],
    action: OpenFollowUp['action'] = 'recheck',
  ): OpenFollowUp => ({
    component: 'coolant',
    action,
    item: null,
    sourceId: 'j',
    openedAt: T,
    urgency,
    cause: 'the coolant circuit was opened',
    settledBy: ['level-check'],
  });

  // 3 days or 160 km, late after 7 days or 500 km: common practice, no source.
  it('makes a recheck due after 3 days and late after 7, open at once', () => {
    const line = followUpLine(seed('recheck'), context())!;
    expect(line).toMatchObject({
      windowOpensOn: '2026-04-02',
      dueOn: '2026-04-05',
      lateOn: '2026-04-09',
      trigger: 'time',
    });
    expect(line.dueAt).toEqual({ odometerLifetimeKm: 10_160, engineHoursLifetime: null, on: '2026-04-05' });
    expect(['2026-04-02', '2026-04-05', '2026-04-09'].map((day) => stateOn(day, line))).toEqual([
      'window',
      'due',
      'late',
    ]);
  });

  it('makes it due after 160 km where those are run sooner, but not before one heat cycle', () => {
    expect(
      followUpLine(seed('recheck'), context({ distance: outlookOf({ '2026-04-02': 10_000 }, 90) }))!,
    ).toMatchObject({ dueOn: '2026-04-04', trigger: 'distance' });
    const soon = { '2026-04-01': 9000, '2026-04-02': 10_400 };
    expect(followUpLine(seed('recheck'), context({ distance: outlookOf(soon) }))!.dueOn).toBe('2026-04-03');
  });

  it('has an engine-hour twin, 25 h for 1,000 km', () => {
    const line = followUpLine(
      seed('recheck'),
      context({
        distance: null,
        odometerLifetimeKmAtOpening: null,
        engineHours: outlookOf({ '2026-04-02': 500 }, 2),
        engineHoursLifetimeAtOpening: 500,
      }),
    )!;
    expect(line).toMatchObject({
      dueOn: '2026-04-04',
      trigger: 'engine-hours',
      dueAt: { engineHoursLifetime: 504 },
    });
  });

  it('waits while the vehicle is laid up, and counts from the first day in use again', () => {
    const resting = followUpLine(seed('recheck'), context({ status: 'laid-up' }))!;
    expect(readDueLine(resting, '2027-01-01')).toMatchObject({ state: 'not-due' });
    expect(followUpLine(seed('recheck'), context({ inUseSince: '2026-06-01' }))!).toMatchObject({
      windowOpensOn: '2026-06-01',
      dueOn: '2026-06-04',
      lateOn: '2026-06-08',
    });
  });

  it('makes a failed reading due that very day, an inconclusive one in a week', () => {
    expect(followUpLine(seed('at-once', 'test'), context())!).toMatchObject({
      dueOn: '2026-04-02',
      lateOn: '2026-04-09',
    });
    expect(followUpLine(seed('soon', 'test'), context())!).toMatchObject({
      windowOpensOn: '2026-04-02',
      dueOn: '2026-04-09',
      lateOn: '2026-04-16',
    });
  });

  it('is none for a vehicle that was disposed of', () => {
    expect(followUpLine(seed('recheck'), context({ status: 'disposed' }))).toBeNull();
  });
});
