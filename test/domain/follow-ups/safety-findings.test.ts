import type { WhatWasRead } from '../../../src/domain/readings/contract/safety-words.js';
import type { Verdict } from '../../../src/domain/evaluation/evaluation.js';
import {
  findingInWords,
  openFindingsText,
  releaseWarning,
  SAFETY_READINGS,
  safetyFindings,
} from '../../../src/domain/follow-ups/safety-findings.js';
import { READING_KINDS } from '../../../src/domain/readings/kinds.js';

const read = (verdict: Verdict | null, what: WhatWasRead) => ({ verdict, read: what });
const pressure = { kind: 'hold-test', method: 'pressure' };
const vacuum = { kind: 'hold-test', method: 'vacuum' };
const pump = { kind: 'torque-set', fastener: 'pump-to-cover' };
const pulley = { kind: 'torque-set', fastener: 'pulley' };
const level = (engineCold: boolean) => ({ kind: 'level-check', engineCold });
const belt = (item: string | null) => ({ kind: 'belt-check', item });

// What is a safety reading, and what makes one good: common practice, no published source.
describe('the failed safety readings of a job', () => {
  it.each(READING_KINDS)('are those of the kinds that make a vehicle unsafe: %s', (kind) => {
    const unsafe = [
      ...['hold-test', 'torque-set', 'combustion-gas-test', 'belt-check', 'level-check'],
      ...['warm-up-check', 'road-test'],
    ];
    expect(safetyFindings([read('fail', { kind })])).toHaveLength(unsafe.includes(kind) ? 1 : 0);
    expect(SAFETY_READINGS.includes(kind)).toBe(unsafe.includes(kind));
    for (const verdict of ['pass', 'inconclusive', null] as const)
      expect(safetyFindings([read(verdict, { kind })])).toEqual([]);
  });

  it.each([
    ['a pressure test by a pressure test', pressure, pressure, true],
    ['a pressure test by a vacuum', pressure, vacuum, false],
    ['a vacuum by a vacuum', vacuum, vacuum, true],
    ['a vacuum by a pressure test', vacuum, pressure, true],
    ['fasteners by the same ones', pump, pump, true],
    ['fasteners by others', pump, pulley, false],
    ['a belt by the same one', belt('accessory'), belt('accessory'), true],
    ['a belt by another one', belt('accessory'), belt('alternator'), false],
    ['a belt of no name by one of no name', belt(null), { kind: 'belt-check' }, true],
    ['a level by a cold one', level(true), level(true), true],
    ['a level by a hot one', level(true), level(false), false],
    ['a level by one that does not say', level(true), { kind: 'level-check' }, false],
    ['a road test by a level check', { kind: 'road-test' }, { kind: 'level-check' }, false],
  ])('are made good later in the job: %s, %s then %s: %s', (_what, failed, later, isMadeGood) => {
    expect(safetyFindings([read('fail', failed), read('pass', later)])).toHaveLength(isMadeGood ? 0 : 1);
    // What passed before it failed, or did not pass, makes nothing good.
    expect(safetyFindings([read('pass', later), read('fail', failed)])).toHaveLength(1);
    expect(safetyFindings([read('fail', failed), read('inconclusive', later)])).toHaveLength(1);
  });

  it('are told in two sentences: what is wrong, and what to do', () => {
    expect(releaseWarning([pressure])).toBe(
      'Released with a failed pressure test. Keep the vehicle parked until it passes a pressure test.',
    );
    expect(releaseWarning([pump, pump, { kind: 'road-test' }])).toBe(
      'Released with a failed torque check (pump-to-cover) and a failed road test. Keep the vehicle parked until the fasteners are tightened to the sheet and checked again, and what it found is mended and a road test passes.',
    );
    const LEVEL =
      'it is filled up; a cold level at or between the marks, at least 4 hours after filling up, settles it (record that the engine was cold).';
    expect(releaseWarning([level(true)])).toBe(
      `Released with a failed level check. Do not drive it until ${LEVEL}`,
    );
    expect(releaseWarning([pressure, level(true)])).toBe(
      `Released with a failed pressure test and a failed level check. Keep the vehicle parked until it passes a pressure test, and ${LEVEL}`,
    );
    expect(openFindingsText([findingInWords({ kind: 'combustion-gas-test' })])).toBe(
      'Released with open safety findings: a positive combustion-gas test. Keep the vehicle parked until the leak into the coolant is found and mended, and the test is clear.',
    );
  });
});
