import { causesTold } from '../../../src/domain/follow-ups/causes-told.js';
import { FOLLOW_UPS } from '../../../src/domain/follow-ups/follow-up-table.js';
import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import { evaluateHoldTest } from '../../../src/domain/pressure/hold-test.js';
import type { HoldTestReading } from '../../../src/domain/pressure/hold-test-reading.js';
import { DAY } from '../intervals/due-fixtures.js';
import { english } from '../../support/english.js';
import { job, kinds, reading, T } from './follow-up-facts.js';

const PRESSURE = { says: { method: 'pressure' } };
const FAILED_PRESSURE = 'The pressure test failed. Find and fix the leak, then pass a pressure test.';

describe("a line's causes", () => {
  const of = (jobs: string[], ...facts: FollowUpReading[]): string[][] =>
    followUpsOf(jobs.length === 0 ? [] : [job('j', T, jobs)], facts).map(({ told }) => told.map(english));

  it('tells every finding that is open once, the worst first', () => {
    const water = reading('w', T, 'top-up', null, { computed: { shortensCoolantLife: true } });
    const failed = ['a', 'b'].map((id) => reading(id, T + DAY, 'hold-test', 'fail', PRESSURE));
    expect(of([], water, ...failed)).toEqual([
      [FAILED_PRESSURE, 'Coolant of another technology was poured in: test its condition.'],
    ]);
  });

  it('leaves out that the circuit was opened where there is something else', () => {
    expect(of(['coolant/replace'])).toEqual([['The coolant circuit was opened.']]);
    expect(of(['coolant/replace'], reading('f', T, 'fill', 'fail', { jobId: 'j' }))).toEqual([
      ['The fill failed. Bleed and top up, then read the level cold.'],
    ]);
  });

  it('asks for no vacuum where only a pressure test settles the line', () => {
    const vacuum = (verdict: 'fail' | 'inconclusive') => reading('v', T, 'hold-test', verdict);
    const pressure = (verdict: 'fail' | 'inconclusive') =>
      reading('p', T + DAY, 'hold-test', verdict, PRESSURE);
    expect(of([], vacuum('fail'), pressure('fail'))).toEqual([[FAILED_PRESSURE]]);
    expect(of([], vacuum('inconclusive'), pressure('fail'))).toEqual([[FAILED_PRESSURE]]);
    expect(of([], vacuum('inconclusive'), pressure('inconclusive'))).toEqual([
      ['The pressure test was inconclusive: repeat it.'],
    ]);
    expect(of([], vacuum('fail'), pressure('inconclusive'))).toEqual([
      ['The vacuum test failed. Find and fix the leak.', 'The pressure test was inconclusive: repeat it.'],
    ]);
  });

  it('tells each finding by itself, in the order given, and each short enough for a phone', () => {
    const told = causesTold(['pressure-test-failed', 'overheated', 'leak-at-warm-up', 'leak-on-the-road']);
    expect(told.map(({ code }) => code)).toEqual([
      'follow-up-pressure-test-failed',
      'follow-up-overheated',
      'follow-up-leak-at-warm-up',
      'follow-up-leak-on-the-road',
    ]);
    for (const finding of Object.keys(FOLLOW_UPS) as (keyof typeof FOLLOW_UPS)[])
      for (const cause of causesTold([finding])) expect(english(cause).length).toBeLessThanOrEqual(150);
  });

  it('of a low level says what settles it', () => {
    expect(of([], reading('l', T, 'level-check', 'fail'))[0]![0]).toMatch(
      /top up\. A cold level at or between the marks, at least 4 hours after topping up, settles it/,
    );
  });

  it('of a fill that ends too weak says so, and that water was poured in only where it was', () => {
    const fill = (strengthPercent: number) =>
      reading('f', T, 'fill', 'inconclusive', {
        ...{ says: { strengthPercent }, computed: { strengthCheckDue: true } },
      });
    const test = (fact: FollowUpReading) => followUpsOf([], [fact]).find(({ action }) => action === 'test');
    expect(test(fill(30))).toMatchObject({ component: 'coolant', urgency: 'at-once' });
    expect(test(fill(30))!.told.map(english)).toEqual([
      'The fill leaves the coolant too weak: read the freeze point.',
    ]);
    expect(test(fill(0))!.told.map(english)).toEqual(['Water was poured in: read the freeze point.']);
    const strength = reading('s', T + DAY, 'freeze-point', 'pass');
    expect(kinds(followUpsOf([], [fill(30), strength]))).toEqual(['coolant/recheck recheck']);
  });
});

describe('a pressure test above what the system may be tested at', () => {
  const KPA_PER_PSI = 6.894757;
  const test = (start: number, end: number): FollowUpReading => {
    const canonical: HoldTestReading = {
      ...{
        kind: 'hold-test',
        method: 'pressure',
        minutes: 10,
        unit: 'psi',
        gaugeResolutionKpa: 0.1 * KPA_PER_PSI,
      },
      ...{ startKpa: start * KPA_PER_PSI, endKpa: end * KPA_PER_PSI, engineCold: true },
      ...{ startTemperatureC: 20, endTemperatureC: 20 },
    };
    const evaluation = evaluateHoldTest(canonical, { capRatingKpa: 16 * KPA_PER_PSI });
    return { id: `${start}`, jobId: null, at: T, canonical, evaluation };
  };
  const OVER =
    "The system was over-pressured. Check radiator, heater core and hoses, then repeat the test at the cap's rating.";

  it('asks for no leak to be found where it held', () => {
    const over = test(20, 20);
    expect(over.evaluation.verdict).toBe('fail');
    expect(followUpsOf([], [over])).toMatchObject([
      {
        component: 'coolant',
        action: 'test',
        urgency: 'at-once',
        told: [{ code: 'follow-up-over-pressured' }],
      },
    ]);
    expect(followUpsOf([], [over])[0]!.told.map(english)).toEqual([OVER]);
    expect(followUpsOf([], [over, { ...test(16, 16), at: T + DAY }])).toEqual([]);
  });

  it('asks for both where it lost pressure as well', () => {
    expect(followUpsOf([], [test(20, 12)])[0]!.told.map(english)).toEqual([FAILED_PRESSURE, OVER]);
    expect(followUpsOf([], [test(16, 12)])[0]!.told.map(english)).toEqual([FAILED_PRESSURE]);
  });
});
