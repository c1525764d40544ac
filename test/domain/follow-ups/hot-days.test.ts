import { faultCodeIn } from '../../../src/domain/faults/fault-code.js';
import type { HotDay } from '../../../src/domain/follow-ups/hot-days.js';
import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import { DAY } from '../intervals/due-fixtures.js';
import { english } from '../../support/english.js';
import { HOUR, kinds, reading, T } from './follow-up-facts.js';

const hot = (id: string, at: number, day = '2026-04-02', highestC = 112): HotDay => ({
  ...{ id, at, until: at + HOUR, day, highestC, alarmC: 107 },
});
const gasTest = (at: number): FollowUpReading =>
  reading('gas', at, 'combustion-gas-test', 'inconclusive', { says: { engineHot: true, underLoad: true } });
const open = (hotDays: HotDay[], readings: FollowUpReading[] = []) => followUpsOf([], readings, { hotDays });

describe('a day above the alarm', () => {
  it('asks for the inspection after overheating at once, and says how hot it got', () => {
    const lines = open([hot('d', T)]);
    expect(kinds(lines)).toEqual(['head-gasket/test at-once', 'coolant/inspect at-once']);
    expect(lines[0]?.told.map(english)).toEqual([
      'The engine overheated. Let it cool, then do what is listed here before the vehicle goes out again.',
      'Head gasket: test for combustion gas, engine hot and under load.',
      'The coolant reached 112 °C on 2026-04-02; the alarm is set at 107 °C.',
    ]);
    expect(lines[0]).toMatchObject({ openedAt: T, sourceId: 'd' });
  });

  it('is settled by what is done after it, and by nothing before', () => {
    expect(kinds(open([hot('d', T)], [gasTest(T + 2 * HOUR)]))).toEqual(['coolant/inspect at-once']);
    expect(kinds(open([hot('d', T)], [gasTest(T - HOUR)]))).toContain('head-gasket/test at-once');
    const during = open([hot('d', T)], [gasTest(T + HOUR / 2)]);
    const gasket = during.find(({ component }) => component === 'head-gasket');
    expect(gasket).toMatchObject({ openedAt: T + HOUR / 2, seenAgainAfter: 'gas' });
  });

  it('joins the line of another, and of a fault code', () => {
    const days = [hot('d1', T), hot('d2', T + DAY, '2026-04-03', 115), hot('d3', T + 2 * DAY, '2026-04-04')];
    const code = {
      ...{ id: 'f', code: faultCodeIn('P0217'), isActive: true, occurrences: null },
      ...{ firstAt: T, lastAt: T },
    };
    const [gasket] = followUpsOf([], [], { faults: [code], hotDays: days });
    expect(gasket?.causes.map(({ sourceId }) => sourceId)).toEqual(['f', 'd1', 'd2', 'd3']);
    expect(gasket?.told.slice(-2).map(english)).toEqual([
      'The coolant reached 115 °C on 2026-04-03; the alarm is set at 107 °C. It also reached the alarm on 2 other days.',
      'Fault codes from the vehicle: P0217.',
    ]);
  });

  it('gives the same lines in any order', () => {
    const days = [hot('d1', T), hot('d2', T + DAY, '2026-04-03'), hot('d3', T + 2 * DAY, '2026-04-04', 109)];
    expect(open([...days].reverse())).toEqual(open(days));
  });
});
