import fc from 'fast-check';
import { actionsFor } from '../../../src/domain/decisions/actions.js';
import {
  compareDecisions,
  type Decision,
  DECISION_KINDS,
  rankOf,
  worstFirst,
} from '../../../src/domain/decisions/decisions.js';

const decision = (kind: Decision['kind'], since: string, id = 'a'): Decision => ({ kind, since, id });

describe('the order of decisions', () => {
  it('puts a vehicle that was released with a failed test first, and a visit of the day last', () => {
    expect(DECISION_KINDS[0]).toBe('released-with-findings');
    expect(DECISION_KINDS.at(-1)).toBe('visit');
  });

  // Worked by hand: danger before cost, cost before doubtful figures, then what has waited longer.
  it.each([
    [decision('released-with-findings', '2026-04-02T00:00:00Z'), decision('at-once', '2026-01-01T00:00:00Z')],
    [decision('at-once', '2026-04-02T00:00:00Z'), decision('late', '2020-01-01T00:00:00Z')],
    [decision('defect', '2026-04-02T00:00:00Z'), decision('late', '2020-01-01T00:00:00Z')],
    [decision('late', '2026-04-02T00:00:00Z'), decision('loss-alert', '2020-01-01T00:00:00Z')],
    [decision('failed-report', '2026-04-02T00:00:00Z'), decision('held-reading', '2020-01-01T00:00:00Z')],
    [decision('late', '2026-03-01T00:00:00Z', 'b'), decision('late', '2026-03-02T00:00:00Z', 'a')],
    [decision('late', '2026-03-01T00:00:00Z', 'a'), decision('late', '2026-03-01T00:00:00Z', 'b')],
    // An hour of Denver is later than the same hour of UTC.
    [decision('defect', '2026-03-01T10:00:00Z'), decision('defect', '2026-03-01T10:00:00-07:00')],
  ])('puts %j before %j', (first, second) => {
    expect(compareDecisions(first, second)).toBeLessThan(0);
    expect(compareDecisions(second, first)).toBeGreaterThan(0);
    expect(worstFirst([second, first])).toEqual([first, second]);
  });

  it('is the same whatever the order was before', () => {
    const one = fc.record({
      kind: fc.constantFrom(...DECISION_KINDS),
      since: fc.constantFrom('2026-01-01T00:00:00Z', '2026-02-01T00:00:00Z'),
      id: fc.uuid(),
    });
    fc.assert(
      fc.property(fc.uniqueArray(one, { selector: ({ id }) => id }), (all) => {
        const sorted = worstFirst(all);
        expect(worstFirst([...all].reverse())).toEqual(sorted);
        const ranks = sorted.map(({ kind }) => rankOf(kind));
        expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
      }),
    );
  });
});

describe('the actions of a decision', () => {
  it('exist for every kind, and none of them waves a failed safety reading through', () => {
    for (const kind of DECISION_KINDS) expect(actionsFor(kind).length).toBeGreaterThan(0);
    const released = actionsFor('released-with-findings');
    expect(released).toEqual(['job-card', 'report-job']);
  });
});
