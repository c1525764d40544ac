import type { Evaluation, Verdict } from '../../../src/domain/evaluation/evaluation.js';
import {
  findingInWords,
  openFindingsText as openFindings,
  releaseWarning as warning,
  SAFETY_READINGS,
  safetyFindings,
} from '../../../src/domain/follow-ups/safety-findings.js';
import { READING_KINDS, type ReadingKind } from '../../../src/domain/readings/kinds.js';
import { english } from '../../support/english.js';
import { job, reading, T } from './follow-up-facts.js';

const releaseWarning = (...given: Parameters<typeof warning>) => english(warning(...given));
const openFindingsText = (...given: Parameters<typeof openFindings>) => english(openFindings(...given));

const pressure = { kind: 'hold-test', method: 'pressure' };
const pump = { kind: 'torque-set', fastener: 'pump-to-cover' };
const level = { kind: 'level-check' };

/** What a reading said: its kind, fields of its own, and what was computed. */
type Read = [ReadingKind, object?, Evaluation['computed']?];

/** The safety findings that a job of these lines left, by these readings in their order. */
function left(lines: string[], ...readings: [Verdict | null, Read][]): string[] {
  const taken = readings.map(([verdict, [kind, says, computed]], position) =>
    reading(`${position}`, T, kind, verdict, { jobId: 'j', position, says, computed }),
  );
  return safetyFindings(job('j', T, lines).lines, taken).map(({ id }) => id);
}

const PRESSURE: Read = ['hold-test', { method: 'pressure' }, { targetHere: 110 }];
const VACUUM: Read = ['hold-test', { method: 'vacuum' }, { targetHere: 75 }];
const fastener = (name: string): Read => ['torque-set', { fastener: name }];
const FULL = { ribsSeated: true, offsetMm: 0, spanMm: 200, tensionerInRange: true, contaminated: false };
const belt = (item: string | null): Read => ['belt-check', { item, wearGauge: 'worn', ...FULL }];
const LEVEL: Read = ['level-check', { belowMarkL: 0, engineCold: true }];
const HOT_LEVEL: Read = ['level-check', { belowMarkL: 0, engineCold: false }];
const UNSAID_LEVEL: Read = ['level-check', { belowMarkL: 0, engineCold: undefined }];
const GAS: Read = ['combustion-gas-test', { positive: true }];
const NO_GAS: Read = ['combustion-gas-test', { positive: false, engineHot: true, underLoad: true }];
const LEAK_AT_WARM_UP: Read = ['warm-up-check', { leakSeen: true }];

// What is a safety reading, and what makes one good: common practice, no published source.
describe('the failed safety readings of a job', () => {
  it.each(READING_KINDS)('are those of the kinds that make a vehicle unsafe: %s', (kind) => {
    const unsafe = [
      ...['hold-test', 'torque-set', 'combustion-gas-test', 'belt-check', 'level-check'],
      ...['warm-up-check', 'road-test'],
    ];
    expect(left([], ['fail', [kind]])).toHaveLength(unsafe.includes(kind) ? 1 : 0);
    expect(SAFETY_READINGS.includes(kind)).toBe(unsafe.includes(kind));
    for (const verdict of ['pass', 'inconclusive', null] as const)
      expect(left([], [verdict, [kind]])).toEqual([]);
  });

  it.each<[string, Read, Read, boolean]>([
    ['a pressure test by a pressure test', PRESSURE, PRESSURE, true],
    ['a pressure test by a vacuum', PRESSURE, VACUUM, false],
    ['a vacuum by a vacuum', VACUUM, VACUUM, true],
    ['a vacuum by a pressure test', VACUUM, PRESSURE, true],
    ['fasteners by the same ones', fastener('pump-to-cover'), fastener('pump-to-cover'), true],
    ['fasteners by others', fastener('pump-to-cover'), fastener('pulley'), false],
    ['a belt by the same one', belt('accessory'), belt('accessory'), true],
    ['a belt by another one', belt('accessory'), belt('alternator'), false],
    ['a belt of no name by one of no name', belt(null), belt(null), true],
    ['a belt by a glance at it', belt(null), ['belt-check', { ribsSeated: true }], false],
    ['a level by a cold one', LEVEL, LEVEL, true],
    ['a level by a hot one', LEVEL, HOT_LEVEL, false],
    ['a level by one that does not say', LEVEL, UNSAID_LEVEL, false],
    ['a leak at warm-up by a warm-up', LEAK_AT_WARM_UP, ['warm-up-check'], true],
    ['a leak at warm-up by a pressure test', LEAK_AT_WARM_UP, PRESSURE, true],
    ['a road test by a level check', ['road-test'], LEVEL, false],
  ])('are made good later in the job: %s', (_what, failed, later, isMadeGood) => {
    expect(left([], ['fail', failed], ['pass', later])).toEqual(isMadeGood ? [] : ['0']);
    // What passed before it failed, or did not pass, makes nothing good.
    expect(left([], ['pass', later], ['fail', failed])).toEqual(['1']);
    expect(left([], ['fail', failed], ['inconclusive', later])).toEqual(['0']);
  });

  it('are made good by a repair and the test that shows it, where one test excludes nothing', () => {
    const then: [Verdict, Read] = ['inconclusive', NO_GAS];
    expect(left(['head-gasket/replace'], ['fail', GAS], then)).toEqual([]);
    expect(left(['injector-sleeve/replace'], ['fail', GAS], then)).toEqual([]);
    // Without the repair, without the test, without load, or the other way round: none.
    expect(left(['radiator/replace'], ['fail', GAS], then)).toEqual(['0']);
    expect(left(['head-gasket/replace'], ['fail', GAS])).toEqual(['0']);
    expect(left(['head-gasket/replace'], ['fail', GAS], ['inconclusive', ['combustion-gas-test']])).toEqual([
      '0',
    ]);
    expect(left(['head-gasket/replace'], then, ['fail', GAS])).toEqual(['1']);
  });

  it('are told in two sentences: what is wrong, and what to do', () => {
    expect(releaseWarning([pressure])).toBe(
      'Released with a failed pressure test. Keep the vehicle parked until it passes a pressure test.',
    );
    expect(releaseWarning([pump, pump, { kind: 'road-test' }])).toBe(
      'Released with a failed torque check (pump-to-cover) and a failed road test. Keep the vehicle parked until the fasteners are tightened to the sheet and checked again and what it found is fixed and a road test passes.',
    );
    const filledUp =
      'it is topped up (a cold level at or between the marks, at least 4 hours after topping up, settles it; record that the engine was cold).';
    expect(releaseWarning([level])).toBe(
      `Released with a failed level check. Do not drive it until ${filledUp}`,
    );
    expect(releaseWarning([pressure, level])).toBe(
      `Released with a failed pressure test and a failed level check. Keep the vehicle parked until it passes a pressure test and ${filledUp}`,
    );
    expect(openFindingsText([findingInWords({ kind: 'combustion-gas-test' })])).toBe(
      'Released with open safety findings: a positive combustion-gas test. Keep the vehicle parked until the leak into the coolant is found and fixed and the test is clear.',
    );
  });
});
