import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import { job, reading, type Said } from './follow-up-facts.js';

const MINUTE = 60_000;
const tension = (id: string, at: number, verdict: 'pass' | 'fail', { says, ...more }: Said = {}) =>
  reading(id, at, 'belt-tension', verdict, { ...more, says: { item: 'fan', ...says } });
const open = (jobs: Parameters<typeof followUpsOf>[0], readings: Parameters<typeof followUpsOf>[1]) =>
  followUpsOf(jobs, readings).map(
    ({ component, action, item, urgency }) => `${component}/${action}/${item ?? ''} ${urgency}`,
  );

describe('follow-ups of a belt that is tensioned by hand', () => {
  const slack = tension('t1', 0, 'fail', { computed: { tautOrSlack: 'slack' } });
  const tight = tension('t1', 0, 'fail', { computed: { tautOrSlack: 'tight' } });

  it('are an adjustment, at once where it is slack and soon where it is tight', () => {
    expect(open([], [slack])).toEqual(['drive-belt/adjust/fan at-once']);
    expect(open([], [tight])).toEqual(['drive-belt/adjust/fan soon']);
  });

  it('are settled by its tension alone, not by a new belt, nor by another belt', () => {
    expect(open([], [slack, tension('t2', 10, 'pass')])).toEqual([]);
    expect(open([], [slack, tension('t2', 10, 'pass', { says: { item: 'pump' } })])).toHaveLength(1);
    expect(open([job('j', 10, ['drive-belt/replace/fan'])], [slack])).toHaveLength(1);
  });

  it('ask for the tension of a new belt again, once it has run in', () => {
    const fitted = tension('t1', 0, 'pass', { says: { newBelt: true } });
    const again = (at: number, says: object = {}) => open([], [fitted, tension('t2', at, 'pass', { says })]);
    expect(open([], [fitted])).toEqual(['drive-belt/recheck/fan recheck']);
    expect(again(10 * MINUTE)).toHaveLength(1);
    expect(again(40 * MINUTE, { newBelt: true })).toHaveLength(1);
    expect(again(40 * MINUTE)).toEqual([]);
  });

  it('keep a new belt that is slack open twice, until it is right and until it has run in', () => {
    const fitted = tension('t1', 0, 'fail', { says: { newBelt: true }, computed: { tautOrSlack: 'slack' } });
    expect(open([], [fitted])).toEqual(['drive-belt/adjust/fan at-once', 'drive-belt/recheck/fan recheck']);
    const set = tension('t2', 5 * MINUTE, 'pass', { says: { newBelt: true } });
    expect(open([], [fitted, set])).toEqual(['drive-belt/recheck/fan recheck']);
  });
});

describe('follow-ups of a worn tensioner', () => {
  const worn = reading('c1', 0, 'tensioner-check', 'fail', { says: { item: 'accessory', armSwingMm: 5 } });

  it('are settled by a check of all of it, or by a new tensioner of the same belt', () => {
    expect(open([], [worn])).toEqual(['tensioner/replace/accessory at-once']);
    const again = (says: object) => open([], [worn, reading('c2', 10, 'tensioner-check', 'pass', { says })]);
    const looked = { mark: 'in-range', armMovesFreely: true, pulleyRunsTrue: true, armSwingMm: 2 };
    expect(again(looked)).toEqual([]);
    for (const left of Object.keys(looked)) expect(again({ ...looked, [left]: null })).toHaveLength(1);
    expect(open([job('j', 10, ['tensioner/replace/accessory'])], [worn])).toEqual([]);
    expect(open([job('j', 10, ['tensioner/replace/fan'])], [worn])).toHaveLength(1);
  });
});

describe('follow-ups of a coolant that conducts too much', () => {
  it('are settled by its conductivity alone', () => {
    const found = reading('c1', 0, 'conductivity', 'fail');
    expect(open([], [found])).toEqual(['coolant/replace/ at-once']);
    expect(open([job('j', 10, ['coolant/replace'])], [found])).toContain('coolant/replace/ at-once');
    expect(open([], [found, reading('c2', 10, 'conductivity', 'pass')])).toEqual([]);
  });
});
