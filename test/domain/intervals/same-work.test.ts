import { jobOfSameWork, type ReportedJob } from '../../../src/domain/intervals/same-work.js';

const NOON = Date.parse('2026-04-02T12:00:00Z');
const MINUTE = 60_000;
const coolant = { component: 'coolant', action: 'replace', item: null } as const;
const pump = { component: 'water-pump', action: 'replace', item: null } as const;
const belt = (item: string | null) => ({ component: 'drive-belt', action: 'replace', item }) as const;

const job = (id: string, minutes: number, lines: ReportedJob['lines'], isBaseline = false): ReportedJob => ({
  ...{ id, at: NOON + minutes * MINUTE, lines, isBaseline },
});

describe('a report of work that another tells of', () => {
  // An hour: common practice, no source. One overlapping line is enough, for each writes down what
  // he did.
  it.each<[string, ReportedJob, ReportedJob[], string | null]>([
    ['no other', job('n', 0, [coolant]), [], null],
    ['the same line at once', job('n', 0, [coolant]), [job('a', 0, [coolant])], 'a'],
    ['the same line an hour before', job('n', 0, [coolant]), [job('a', -60, [coolant])], 'a'],
    ['the same line an hour after', job('n', 0, [coolant]), [job('a', 60, [coolant])], 'a'],
    ['the same line more than an hour away', job('n', 0, [coolant]), [job('a', 60.01, [coolant])], null],
    ['one line of several', job('n', 0, [coolant, pump]), [job('a', 5, [belt('fan'), pump])], 'a'],
    ['another action', job('n', 0, [coolant]), [job('a', 5, [{ ...coolant, action: 'flush' }])], null],
    ['another belt', job('n', 0, [belt('fan')]), [job('a', 5, [belt('accessory')])], null],
    ['a belt that is not named', job('n', 0, [belt('fan')]), [job('a', 5, [belt(null)])], null],
    ['no lines at all', job('n', 0, []), [job('a', 5, [])], null],
    ['work before records began', job('n', 0, [coolant]), [job('a', 5, [coolant], true)], null],
    ['itself', job('n', 0, [coolant]), [job('n', 0, [coolant])], null],
    ['the nearest of two', job('n', 0, [coolant]), [job('a', -50, [coolant]), job('b', 20, [coolant])], 'b'],
    [
      'the earlier id of two as near',
      job('n', 0, [coolant]),
      [job('b', 20, [coolant]), job('a', -20, [coolant])],
      'a',
    ],
  ])('%s', (_what, own, others, expected) => {
    expect(jobOfSameWork(own, others)?.id ?? null).toBe(expected);
  });
});
