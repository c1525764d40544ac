import { causeInWords } from '../../../src/domain/follow-ups/cause-in-words.js';
import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import { evaluateHoldTest } from '../../../src/domain/pressure/hold-test.js';
import type { HoldTestReading } from '../../../src/domain/pressure/hold-test-reading.js';
import { DAY } from '../intervals/due-fixtures.js';
import { job, kinds, reading, T } from './follow-up-facts.js';

const PRESSURE = { says: { method: 'pressure' } };
const FAILED_PRESSURE = 'the pressure test failed: find and mend the leak, then pass a pressure test';

describe("a line's cause", () => {
  const of = (jobs: string[], ...facts: FollowUpReading[]): string[] =>
    followUpsOf(jobs.length === 0 ? [] : [job('j', T, jobs)], facts).map(({ cause }) => cause);

  it('tells every finding that is open once, the worst first', () => {
    const water = reading('w', T, 'top-up', null, { computed: { shortensCoolantLife: true } });
    const failed = ['a', 'b'].map((id) => reading(id, T + DAY, 'hold-test', 'fail', PRESSURE));
    expect(of([], water, ...failed)).toEqual([
      `${FAILED_PRESSURE}; also: coolant of another technology was poured in: test its condition`,
    ]);
  });

  it('leaves out that the circuit was opened where there is something else', () => {
    expect(of(['coolant/replace'])).toEqual(['the coolant circuit was opened']);
    expect(of(['coolant/replace'], reading('f', T, 'fill', 'fail', { jobId: 'j' }))).toEqual([
      'the fill failed: bleed and fill up, then read the level cold',
    ]);
  });

  it('asks for no vacuum where only a pressure test settles the line', () => {
    const vacuum = (verdict: 'fail' | 'inconclusive') => reading('v', T, 'hold-test', verdict);
    const pressure = (verdict: 'fail' | 'inconclusive') =>
      reading('p', T + DAY, 'hold-test', verdict, PRESSURE);
    expect(of([], vacuum('fail'), pressure('fail'))).toEqual([FAILED_PRESSURE]);
    expect(of([], vacuum('inconclusive'), pressure('fail'))).toEqual([FAILED_PRESSURE]);
    expect(of([], vacuum('inconclusive'), pressure('inconclusive'))).toEqual([
      'the pressure test was inconclusive: repeat it',
    ]);
    expect(of([], vacuum('fail'), pressure('inconclusive'))).toEqual([
      'the vacuum test failed: find and mend the leak; also: the pressure test was inconclusive: repeat it',
    ]);
  });

  it('stays short: it counts what does not fit in 300 characters', () => {
    const text = causeInWords(['pressure-test-failed', 'overheated', 'leak-at-warm-up', 'leak-on-the-road']);
    expect(text).toMatch(
      /^the pressure test failed.*; also: the engine overheated.*; also: a leak was seen at warm-up.*; and 1 more$/,
    );
    expect(text.length).toBeLessThanOrEqual(312);
  });

  it('of a low level says what settles it', () => {
    expect(of([], reading('l', T, 'level-check', 'fail'))[0]).toMatch(
      /fill up; a cold level at or between the marks, at least 4 hours after filling up, settles it/,
    );
  });

  it('of a fill that ends too weak says so, and that water was poured in only where it was', () => {
    const fill = (strengthPercent: number) =>
      reading('f', T, 'fill', 'inconclusive', {
        ...{ says: { strengthPercent }, computed: { strengthCheckDue: true } },
      });
    const test = (fact: FollowUpReading) => followUpsOf([], [fact]).find(({ action }) => action === 'test');
    expect(test(fill(30))).toMatchObject({ component: 'coolant', urgency: 'at-once' });
    expect(test(fill(30))!.cause).toBe('the fill leaves the coolant too weak: read the freeze point');
    expect(test(fill(0))!.cause).toBe('water was poured in: read the freeze point');
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
    "the system was over-pressured: check radiator, heater core and hoses, then repeat the test at the cap's rating";

  it('asks for no leak to be found where it held', () => {
    const over = test(20, 20);
    expect(over.evaluation.verdict).toBe('fail');
    expect(followUpsOf([], [over])).toMatchObject([
      { component: 'coolant', action: 'test', urgency: 'at-once', cause: OVER },
    ]);
    expect(followUpsOf([], [over, { ...test(16, 16), at: T + DAY }])).toEqual([]);
  });

  it('asks for both where it lost pressure as well', () => {
    expect(followUpsOf([], [test(20, 12)])[0]!.cause).toBe(`${FAILED_PRESSURE}; also: ${OVER}`);
    expect(followUpsOf([], [test(16, 12)])[0]!.cause).toBe(FAILED_PRESSURE);
  });
});
