import type { OpenDefect } from '../../../src/domain/defects/defect.js';
import { followUpLine } from '../../../src/domain/follow-ups/follow-up-line.js';
import { followUpsOf, type OpenFollowUp } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';

const T = Date.parse('2026-04-02T15:00:00Z');
const DAY = 86_400_000;

const defect = (id: string, rest: Partial<OpenDefect> = {}): OpenDefect => ({
  ...{ id, at: T, source: 'driver', what: `words of ${id}`, component: 'drive-belt', action: 'replace' },
  ...{ item: null, isTriaged: true, dueOn: null, ...rest },
});
const worn: FollowUpReading = {
  ...{ id: 'r', jobId: null, at: T + DAY, evaluation: { verdict: 'fail', computed: {} } },
  canonical: { kind: 'belt-check', wearGauge: 'worn' },
};
const only = (...defects: OpenDefect[]): OpenFollowUp => {
  const [line, ...more] = followUpsOf([], [], { defects });
  expect([line === undefined, more]).toEqual([false, []]);
  return line as OpenFollowUp;
};
const codes = ({ told }: OpenFollowUp): string[] => told.map(({ code }) => code);

describe('a line that defects opened', () => {
  it('tells the words of each, the more pressing first', () => {
    const line = only(defect('a', { dueOn: '2026-05-01' }), defect('b', { at: T + 1 }));
    expect(line).toMatchObject({ sourceId: 'a', worstSourceId: 'b', urgency: 'at-once', dueOn: null });
    expect(codes(line)).toEqual([
      ...['follow-up-defect-triaged', 'follow-up-defect-words', 'follow-up-defect-words'],
    ]);
    expect(line.told[1]?.values).toEqual({ source: 'driver', what: 'words of b' });
  });

  it('is due on the earliest day that was set', () => {
    const line = only(defect('a', { dueOn: '2026-05-01' }), defect('b', { dueOn: '2026-04-20', at: T + 1 }));
    expect(line).toMatchObject({ urgency: 'soon', dueOn: '2026-04-20' });
  });

  it('is shared with what a reading found, which no defect settles, and settles no defect', () => {
    const reported = defect('a', { dueOn: '2026-05-01' });
    const [line] = followUpsOf([], [worn], { defects: [reported] });
    expect(line).toMatchObject({ worstSourceId: 'r', urgency: 'at-once', dueOn: null });
    expect(codes(line as OpenFollowUp)).toEqual([
      ...['follow-up-belt-worn', 'follow-up-defect-triaged', 'follow-up-defect-words'],
    ]);
    const lines = [{ component: 'drive-belt', action: 'replace', item: null }] as const;
    const job = { id: 'j', at: T + 2 * DAY, lines, isBaseline: false };
    const [left] = followUpsOf([job], [worn], { defects: [reported] });
    expect(codes(left as OpenFollowUp)).toEqual(['follow-up-defect-triaged', 'follow-up-defect-words']);
  });

  // 14 days before and a week after: common practice, no source.
  it('opens 14 days before its day, is late a week after it, and is not made due by usage', () => {
    const point = followUpLine(only(defect('a', { dueOn: '2026-05-01' })), {
      ...{ status: 'in-use', inUseSince: null, engineHours: null, timeZone: 'America/Denver' },
      ...{ odometerLifetimeKmAtOpening: 1000, engineHoursLifetimeAtOpening: null },
      distance: {
        ...{ rate: null, last: { at: T + DAY, value: 9000 } },
        ...{ crossedAt: () => T + DAY, valueAt: () => 9000 },
      },
    });
    expect(point).toMatchObject({ windowOpensOn: '2026-04-17', dueOn: '2026-05-01', lateOn: '2026-05-08' });
    expect(point?.dueAt.odometerLifetimeKm).toBeNull();
  });
});
