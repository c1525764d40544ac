import fc from 'fast-check';
import {
  type Defect,
  type DefectDecision,
  openDefect,
  type RepairJob,
  standingOf,
} from '../../../src/domain/defects/defect.js';
import { DRIVING, drivingBy } from '../../../src/domain/defects/driving.js';
import type { Action, Component, WorkLine } from '../../../src/domain/intervals/types.js';

const work = (line: string): WorkLine => {
  const [component, action, item = null] = line.split('/');
  return { component: component as Component, action: action as Action, item };
};

const triage = (at: number, line: string, dueOn: string | null = null): DefectDecision => ({
  ...{ id: `d${at}`, at, kind: 'triage', work: work(line), dueOn },
});
const dismiss = (at: number): DefectDecision => ({
  ...{ id: `d${at}`, at, kind: 'dismiss', work: null, dueOn: null },
});
const job = (id: string, at: number, lines: string[], repairedDefects: string[] = []): RepairJob => ({
  ...{ id, at, lines: lines.map(work), isBaseline: false, repairedDefects },
});

function reported(decisions: DefectDecision[] = [], rest: Partial<Defect> = {}): Defect {
  const what = 'coolant on the ground';
  return { id: 'x', at: 100, source: 'driver', what, component: null, item: null, decisions, ...rest };
}

describe('the state of a defect', () => {
  // 49 CFR 396.11(a)(3): a defect is certified as repaired, or as one of which the repair is
  // unnecessary. Which work counts as the repair is common practice, no source.
  it.each<[string, DefectDecision[], RepairJob[], string]>([
    ['reported until somebody decides', [], [job('j', 200, ['radiator/replace'])], 'reported'],
    ['triaged', [triage(150, 'radiator/replace')], [], 'triaged'],
    ['dismissed', [dismiss(150)], [], 'dismissed'],
    ['triaged after all', [dismiss(150), triage(160, 'radiator/replace')], [], 'triaged'],
    ['dismissed after all', [triage(150, 'radiator/replace'), dismiss(160)], [], 'dismissed'],
    ['repaired by a report that names it', [], [job('j', 200, [], ['x'])], 'repaired'],
    [
      'repaired by one that names it, although dismissed',
      [dismiss(150)],
      [job('j', 90, [], ['x'])],
      'repaired',
    ],
    ['not repaired by one that names another', [], [job('j', 200, [], ['y'])], 'reported'],
    [
      'repaired by its work',
      [triage(150, 'radiator/replace')],
      [job('j', 200, ['radiator/replace'])],
      'repaired',
    ],
    [
      'by its work before the triage',
      [triage(150, 'radiator/replace')],
      [job('j', 120, ['radiator/replace'])],
      'repaired',
    ],
    [
      'not by work before the report',
      [triage(150, 'radiator/replace')],
      [job('j', 90, ['radiator/replace'])],
      'triaged',
    ],
    ['not by other work', [triage(150, 'radiator/replace')], [job('j', 200, ['radiator/clean'])], 'triaged'],
    ['not by looking', [triage(150, 'radiator/inspect')], [job('j', 200, ['radiator/inspect'])], 'triaged'],
    ['not by a test', [triage(150, 'coolant/test')], [job('j', 200, ['coolant/test'])], 'triaged'],
    [
      'of the same item',
      [triage(150, 'drive-belt/replace/fan')],
      [job('j', 200, ['drive-belt/replace/fan'])],
      'repaired',
    ],
    [
      'not of another',
      [triage(150, 'drive-belt/replace/fan')],
      [job('j', 200, ['drive-belt/replace/ac'])],
      'triaged',
    ],
    [
      'of an item that is not named',
      [triage(150, 'drive-belt/replace')],
      [job('j', 200, ['drive-belt/replace/ac'])],
      'repaired',
    ],
    [
      'not by what was dismissed since',
      [triage(150, 'radiator/replace'), dismiss(160)],
      [job('j', 200, ['radiator/replace'])],
      'dismissed',
    ],
    [
      'not by work before records began',
      [triage(150, 'radiator/replace')],
      [{ ...job('j', 200, ['radiator/replace']), isBaseline: true }],
      'triaged',
    ],
  ])('%s', (_, decisions, jobs, state) => {
    const standing = standingOf(reported(decisions), jobs);
    expect(standing.state).toBe(state);
    expect(standing.repairedBy).toBe(state === 'repaired' ? 'j' : null);
  });

  it('prefers a report that names it to one that only did the work', () => {
    const jobs = [job('did', 200, ['radiator/replace']), job('said', 300, [], ['x'])];
    expect(standingOf(reported([triage(150, 'radiator/replace')]), jobs).repairedBy).toBe('said');
  });

  it('is the same in whatever order decisions and jobs come', () => {
    const decisions = [triage(150, 'radiator/replace'), dismiss(160), triage(160, 'radiator/clean')].map(
      (decision, index) => ({ ...decision, id: `d${index}` }),
    );
    const jobs = [
      job('a', 200, ['radiator/clean']),
      job('b', 200, ['radiator/clean']),
      job('c', 180, [], ['x']),
    ];
    const expected = standingOf(reported(decisions), jobs);
    fc.assert(
      fc.property(
        fc.shuffledSubarray(decisions, { minLength: 3 }),
        fc.shuffledSubarray(jobs, { minLength: 3 }),
        (some, others) => {
          expect(standingOf(reported(some), others)).toEqual(expected);
        },
      ),
    );
  });
});

describe('what an open defect calls for', () => {
  const called = (defect: Defect): string | null => {
    const open = openDefect(defect, standingOf(defect, []));
    return open && `${open.component}/${open.action}/${open.item} ${open.dueOn} ${open.isTriaged}`;
  };

  it.each([
    ['to look, where nothing is known', reported(), 'other/inspect/null null false'],
    [
      'to look at what it seems to be',
      reported([], { component: 'radiator' }),
      'radiator/inspect/null null false',
    ],
    ['the work decided on', reported([triage(150, 'radiator/replace')]), 'radiator/replace/null null true'],
    [
      'by the day decided on',
      reported([triage(150, 'drive-belt/replace/fan', '2026-05-01')], { component: 'other' }),
      'drive-belt/replace/fan 2026-05-01 true',
    ],
    ['nothing once it is dismissed', reported([dismiss(150)]), null],
  ])('%s', (_, defect, expected) => {
    expect(called(defect)).toBe(expected);
  });
});

describe('whether the vehicle may be driven with it', () => {
  it('is undecided until somebody has looked, and says so again after the triage', () => {
    expect(drivingBy('reported', false)).toBe('undecided');
    expect(drivingBy('triaged', true)).toBe('stays');
    expect(drivingBy('triaged', false)).toBe('not-held');
    expect([drivingBy('repaired', true), drivingBy('dismissed', false)]).toEqual(['not-held', 'not-held']);
    expect(DRIVING).toHaveLength(3);
  });
});
